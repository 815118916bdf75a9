//! Faults of the folder and the system around a dossier, and what saving leaves behind.
//!
//! Missing permissions cannot be shown by a test that may run as the superuser, whom the system
//! refuses nothing; the same paths of the code are reached by folders in place of files.

#![allow(
    clippy::unwrap_used,
    reason = "a test may stop where its ground is missing"
)]

use std::fs;
use std::path::Path;
use store::{Saved, StoreError, create, edit, open, open_draft, save};

fn fresh() -> tempfile::TempDir {
    tempfile::tempdir().unwrap()
}

#[track_caller]
fn refused(folder: &Path, words: &str) {
    let told = open(folder).unwrap_err().to_string();
    assert!(told.contains(words), "{told}");
    assert!(told.contains("instead:"), "{told}");
}

#[test]
fn a_created_folder_opens_clean() {
    let place = fresh();
    let folder = place.path().join("new");
    create(&folder).unwrap();
    assert_eq!(open(&folder).unwrap().items.len(), 1, "the product itself");
    for sub in ["photos", "logs", "recordings", "captions"] {
        assert!(folder.join(sub).is_dir());
    }
    let mut left: Vec<_> = fs::read_dir(&folder)
        .unwrap()
        .map(|e| e.unwrap().file_name().into_string().unwrap())
        .collect();
    left.sort();
    assert_eq!(
        left,
        [
            ".underlid.lock",
            "captions",
            "dossier.toml",
            "logs",
            "photos",
            "recordings"
        ]
    );
}

#[test]
fn a_photo_knows_the_size_of_its_picture() {
    let place = fresh();
    let folder = place.path().join("new");
    create(&folder).unwrap();
    let picture = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../record/tests/broken/scale-outside-the-picture/photos/lid.png");
    fs::copy(picture, folder.join("photos/lid.png")).unwrap();
    let mut text = fs::read_to_string(folder.join("dossier.toml")).unwrap();
    text.push_str("\n[[photos]]\nid = \"lid\"\nfile = \"lid.png\"\ncaption = \"The lid\"\n");
    fs::write(folder.join("dossier.toml"), text).unwrap();
    let dossier = open(&folder).unwrap();
    assert_eq!(dossier.photos[0].pixels, Some([40, 30]));
}

#[test]
fn nothing_that_is_there_is_overwritten() {
    let place = fresh();
    let folder = place.path().join("new");
    create(&folder).unwrap();
    fs::write(folder.join("dossier.toml"), "mine").unwrap();
    let told = create(&folder).unwrap_err().to_string();
    assert!(told.contains("not empty"), "{told}");
    assert_eq!(
        fs::read_to_string(folder.join("dossier.toml")).unwrap(),
        "mine"
    );
    let file = place.path().join("file");
    fs::write(&file, "x").unwrap();
    let told = create(&file).unwrap_err();
    assert!(told.to_string().contains("file is not a folder"), "{told}");
    let told = create(&file.join("below")).unwrap_err();
    assert!(
        told.remedy().contains("a part of the path is a file"),
        "{told}"
    );
}

#[test]
fn a_missing_folder_is_told_with_the_way_to_start_one() {
    let place = fresh();
    refused(&place.path().join("none"), "there is no such folder");
    refused(&place.path().join("none"), "start a new dossier there");
}

#[test]
fn a_file_instead_of_a_folder_is_refused() {
    let place = fresh();
    let file = place.path().join("dossier.toml");
    fs::write(&file, "format = 1").unwrap();
    refused(&file, "a dossier is a folder");
}

#[test]
fn a_folder_without_text_is_told_with_the_way_to_start_one() {
    let place = fresh();
    refused(place.path(), "holds no dossier.toml");
    refused(place.path(), "start a new dossier there");
}

#[test]
fn a_folder_in_place_of_the_text_is_refused() {
    let place = fresh();
    fs::create_dir(place.path().join("dossier.toml")).unwrap();
    refused(place.path(), "dossier.toml is not a file");
}

#[test]
fn a_text_of_fifty_megabytes_is_refused_unread() {
    let place = fresh();
    let file = fs::File::create(place.path().join("dossier.toml")).unwrap();
    file.set_len(50 * 1024 * 1024).unwrap();
    refused(
        place.path(),
        "the file is larger than the 8 MB that are read",
    );
}

#[test]
fn a_byte_order_mark_is_tolerated() {
    let place = fresh();
    let mut bytes = vec![0xef, 0xbb, 0xbf];
    bytes.extend(record::starter().bytes());
    fs::write(place.path().join("dossier.toml"), bytes).unwrap();
    let read = open(place.path()).unwrap();
    let plain = record::read_text(&record::starter(), "dossier.toml", &record::AnyFile).unwrap();
    assert_eq!(read, plain, "the mark is no part of the text");
}

fn with_photo(folder: &Path) {
    create(folder).unwrap();
    let text = format!(
        "{}\n[[photos]]\nid = \"lid\"\nfile = \"lid.png\"\ncaption = \"The lid\"\n",
        record::starter()
    );
    fs::write(folder.join("dossier.toml"), text).unwrap();
}

#[test]
fn a_missing_photo_is_told() {
    let place = fresh();
    let folder = place.path().join("d");
    with_photo(&folder);
    refused(&folder, "there is no file photos/lid.png");
    fs::create_dir(folder.join("photos/lid.png")).unwrap();
    refused(&folder, "photos/lid.png is not a file");
}

#[cfg(unix)]
#[test]
fn links_that_lead_out_of_the_folder_are_refused() {
    let place = fresh();
    let folder = place.path().join("d");
    with_photo(&folder);
    fs::write(place.path().join("elsewhere.png"), "x").unwrap();
    std::os::unix::fs::symlink(
        place.path().join("elsewhere.png"),
        folder.join("photos/lid.png"),
    )
    .unwrap();
    refused(&folder, "leads outside the dossier folder");
    let other = place.path().join("other");
    fs::create_dir(&other).unwrap();
    std::os::unix::fs::symlink(folder.join("dossier.toml"), other.join("dossier.toml")).unwrap();
    refused(&other, "dossier.toml is a link that leads outside");
}

#[cfg(unix)]
#[test]
fn links_that_stay_inside_are_followed() {
    let place = fresh();
    let folder = place.path().join("d");
    with_photo(&folder);
    fs::write(folder.join("photos/original.png"), "\0x").unwrap();
    std::os::unix::fs::symlink("original.png", folder.join("photos/lid.png")).unwrap();
    let dossier = open(&folder).unwrap();
    assert_eq!(dossier.photos.len(), 1);
    assert_eq!(dossier.photos[0].file, "lid.png");
}

#[test]
fn a_save_keeps_the_text_before_it() {
    let place = fresh();
    let folder = place.path().join("d");
    create(&folder).unwrap();
    let before = fs::read_to_string(folder.join("dossier.toml")).unwrap();
    let mut draft = open_draft(&folder).unwrap();
    assert_eq!(save(&folder, &draft).unwrap(), Saved::Unchanged);
    draft
        .set(&"product.name".parse().unwrap(), "Glimm 2")
        .unwrap();
    let Saved::Replaced(Some(kept)) = save(&folder, &draft).unwrap() else {
        panic!()
    };
    assert!(kept.ends_with(".revisions/0001-dossier.toml"));
    assert_eq!(fs::read_to_string(kept).unwrap(), before);
    assert_eq!(open(&folder).unwrap().product.name, "Glimm 2");
    let mut draft = open_draft(&folder).unwrap();
    draft
        .set(&"product.maker".parse().unwrap(), "Oskvale Works")
        .unwrap();
    let Saved::Replaced(Some(kept)) = save(&folder, &draft).unwrap() else {
        panic!()
    };
    assert!(kept.ends_with(".revisions/0002-dossier.toml"));
}

#[test]
fn a_faulty_edit_leaves_the_text_as_it_was() {
    let place = fresh();
    let folder = place.path().join("d");
    create(&folder).unwrap();
    let before = fs::read_to_string(folder.join("dossier.toml")).unwrap();
    let mut draft = open_draft(&folder).unwrap();
    draft
        .set(&"product.price.paid".parse().unwrap(), "129 mAh")
        .unwrap();
    assert!(
        save(&folder, &draft)
            .unwrap_err()
            .to_string()
            .contains("an amount of money")
    );
    assert_eq!(
        fs::read_to_string(folder.join("dossier.toml")).unwrap(),
        before
    );
    assert!(!folder.join(".revisions").exists());
}

#[test]
fn a_text_changed_by_somebody_else_is_not_lost() {
    let place = fresh();
    let folder = place.path().join("d");
    create(&folder).unwrap();
    let mut draft = open_draft(&folder).unwrap();
    draft.set(&"product.name".parse().unwrap(), "Mine").unwrap();
    let theirs = record::starter().replace("Name of the product", "Theirs");
    fs::write(folder.join("dossier.toml"), &theirs).unwrap();
    assert!(
        save(&folder, &draft)
            .unwrap_err()
            .to_string()
            .contains("changed after it was read")
    );
    assert_eq!(
        fs::read_to_string(folder.join("dossier.toml")).unwrap(),
        theirs
    );
}

#[test]
fn a_save_that_cannot_be_written_leaves_nothing_half_done() {
    let place = fresh();
    let folder = place.path().join("d");
    create(&folder).unwrap();
    let before = fs::read_to_string(folder.join("dossier.toml")).unwrap();
    let mut draft = open_draft(&folder).unwrap();
    draft
        .set(&"product.name".parse().unwrap(), "Glimm 2")
        .unwrap();
    // A file where the folder of revisions belongs.
    fs::write(folder.join(".revisions"), "in the way").unwrap();
    assert!(save(&folder, &draft).is_err());
    assert_eq!(
        fs::read_to_string(folder.join("dossier.toml")).unwrap(),
        before
    );
    let parts = fs::read_dir(&folder).unwrap().filter(|e| {
        e.as_ref()
            .unwrap()
            .file_name()
            .to_string_lossy()
            .ends_with(".part")
    });
    assert_eq!(parts.count(), 0);
}

#[test]
fn an_edit_is_made_on_the_text_as_it_is_now() {
    let place = fresh();
    let folder = place.path().join("d");
    create(&folder).unwrap();
    let theirs = record::starter().replace("Name of the product", "Theirs");
    fs::write(folder.join("dossier.toml"), &theirs).unwrap();
    let seen = edit(&folder, |draft, dossier| {
        draft
            .set(&"product.maker".parse().unwrap(), "Oskvale Works")
            .unwrap();
        Ok::<_, StoreError>(dossier.product.name.clone())
    });
    assert_eq!(seen.unwrap(), "Theirs");
    let product = open(&folder).unwrap().product;
    assert_eq!(
        (product.name, product.maker),
        ("Theirs".into(), "Oskvale Works".into())
    );
    assert_eq!(
        fs::read_to_string(folder.join(".revisions/0001-dossier.toml")).unwrap(),
        theirs
    );
}

#[test]
fn a_new_dossier_that_was_stopped_half_way_is_finished_by_the_next_run() {
    let place = fresh();
    let folder = place.path().join("d");
    fs::create_dir_all(folder.join("photos")).unwrap();
    fs::write(folder.join(".underlid.lock"), "").unwrap();
    fs::write(folder.join(".underlid-abc.part"), "half").unwrap();
    create(&folder).unwrap();
    assert!(open(&folder).is_ok());
    assert!(!folder.join(".underlid-abc.part").exists());
}

#[test]
fn no_dossier_is_made_where_there_is_none_to_edit() {
    let place = fresh();
    let folder = place.path().join("d");
    let told = edit(&folder, |_, _| Ok::<_, StoreError>(()))
        .unwrap_err()
        .to_string();
    assert!(told.contains("there is no such folder"), "{told}");
    assert!(!folder.exists());
}
