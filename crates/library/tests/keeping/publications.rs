//! What was published: versions in their order, their files, what is left out.

use crate::bench::{AT, lamp};
use bytes::Bytes;
use library::{DossierId, LeavingOut, Library, LibraryError, Person, Publication};

async fn published(
    library: &Library,
    id: &DossierId,
    version: u64,
) -> Result<Publication, LibraryError> {
    let text = format!("report {version}");
    let file = library
        .keep_published("report.html", Bytes::from(text))
        .await;
    let publication = Publication {
        version,
        revision: 1,
        at: AT,
        by: Person::from("A."),
        reason: (version > 1).then(|| "The scale was read wrongly.".into()),
        fingerprint: None,
        files: vec![file.expect("room")],
    };
    library.publish(id, publication.clone()).await?;
    Ok(publication)
}

pub(crate) async fn versions_follow_each_other_and_keep_their_files(library: Library) {
    let id = lamp(&library).await;
    assert_eq!(library.publications(&id).await.expect("there"), []);
    let first = published(&library, &id, 1).await.expect("the first");
    for wrong in [1, 3] {
        let refused = published(&library, &id, wrong).await;
        let by_version =
            matches!(refused, Err(LibraryError::Published { version, .. }) if version == wrong);
        assert!(by_version, "{refused:?}");
    }
    let second = published(&library, &id, 2).await.expect("the next");
    let all = library.publications(&id).await.expect("there");
    assert_eq!(all, [first, second]);
    let kept = library.object(&all[1].files[0].sha256).await;
    assert_eq!(kept.expect("kept"), "report 2");
    let verified = library.verify().await.expect("it can be looked through");
    assert_eq!(verified.damage, []);
    // Of four files kept, two belong to a publication that was refused, and one of those has the bytes of another.
    assert_eq!((verified.files, verified.unused), (2, 1));

    let other: DossierId = "no-such".parse().expect("letters");
    let missing = published(&library, &other, 1).await;
    assert!(
        matches!(missing, Err(LibraryError::NoDossier(_))),
        "{missing:?}"
    );
}

pub(crate) async fn what_is_left_out_is_kept_with_the_dossier(library: Library) {
    let id = lamp(&library).await;
    assert_eq!(
        library.leaving_out(&id).await.expect("there"),
        LeavingOut::default()
    );
    let mut what = LeavingOut::default();
    for section in ["section-cells", "section-repair"] {
        what.sections.insert(section.into());
        let said = library.leave_out(&id, &what, &Person::from("A."), AT).await;
        said.expect("kept");
    }
    assert_eq!(library.leaving_out(&id).await.expect("there"), what);
    let other: DossierId = "no-such".parse().expect("letters");
    let refused = library
        .leave_out(&other, &what, &Person::from("A."), AT)
        .await;
    assert!(
        matches!(refused, Err(LibraryError::NoDossier(_))),
        "{refused:?}"
    );
}
