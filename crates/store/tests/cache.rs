//! What is kept in the cache folder is whole or not there, and stays within bounds.

#![allow(clippy::unwrap_used, reason = "a test")]

use std::fs;
use std::io::Read;
use store::cache::{Cache, Key, MOST_FILES, Sort};

fn kept(cache: &Cache, key: &Key) -> Option<(Vec<u8>, bool)> {
    let mut kept = cache.open(key).unwrap()?;
    let mut bytes = Vec::new();
    kept.read_to_end(&mut bytes).unwrap();
    Some((bytes, kept.is_whole()))
}

fn keep(cache: &Cache, key: &Key, bytes: &[u8]) {
    cache.keep(key, |to| to.write_all(bytes)).unwrap();
}

#[test]
fn what_was_kept_is_read_again() {
    let folder = tempfile::tempdir().unwrap();
    let cache = Cache::at(folder.path().join("not/yet/there"));
    let key = Key::of([b"catalogue".as_slice()]);
    assert!(kept(&cache, &key).is_none());
    keep(&cache, &key, b"an index");
    assert_eq!(kept(&cache, &key).unwrap(), (b"an index".to_vec(), true));
    fs::remove_dir_all(folder.path().join("not")).unwrap();
    assert!(kept(&cache, &key).is_none());
}

#[test]
fn a_damaged_or_shortened_file_is_not_whole() {
    let folder = tempfile::tempdir().unwrap();
    let cache = Cache::at(folder.path().to_path_buf());
    let key = Key::of([b"x".as_slice()]);
    keep(&cache, &key, &[7; 1000]);
    let whole = fs::read(cache.path(&key)).unwrap();
    let mut damaged = whole.clone();
    damaged[500] ^= 1;
    for bytes in [&damaged[..], &whole[..900], &whole[..3], &[]] {
        fs::write(cache.path(&key), bytes).unwrap();
        assert!(!kept(&cache, &key).unwrap().1, "{}", bytes.len());
    }
}

#[test]
fn a_key_tells_where_one_piece_ends() {
    let key = |pieces: &[&str]| Key::of(pieces.iter().map(|p| p.as_bytes()));
    assert_eq!(key(&["ab", "c"]), key(&["ab", "c"]));
    assert_ne!(key(&["ab", "c"]), key(&["a", "bc"]));
    assert_ne!(key(&["ab", "c"]), key(&["abc"]));
}

#[test]
fn the_files_used_longest_ago_give_way() {
    let folder = tempfile::tempdir().unwrap();
    let cache = Cache::at(folder.path().to_path_buf());
    let keys: Vec<Key> = (0..=MOST_FILES as u8)
        .map(|n| Key::of([&[n][..]]))
        .collect();
    let hour = std::time::Duration::from_secs(3600);
    let long_ago = std::time::SystemTime::now() - 100 * hour;
    fs::write(folder.path().join("mine.txt"), "of somebody else").unwrap();
    for (n, key) in (1..).zip(&keys[..MOST_FILES]) {
        keep(&cache, key, b"an index");
        let file = fs::File::options()
            .write(true)
            .open(cache.path(key))
            .unwrap();
        file.set_modified(long_ago + n * hour).unwrap();
    }
    // Reading the oldest makes it the newest.
    assert!(kept(&cache, &keys[0]).is_some());
    keep(&cache, &keys[MOST_FILES], b"one more");
    let left: Vec<bool> = keys.iter().map(|key| cache.path(key).exists()).collect();
    assert_eq!(left, [true, false, true, true, true]);
    assert!(folder.path().join("mine.txt").exists());
}

#[test]
fn pictures_have_room_by_their_bytes_and_none_of_it_is_that_of_indexes() {
    let folder = tempfile::tempdir().unwrap();
    let indexes = Cache::at(folder.path().to_path_buf());
    let pictures = indexes.clone().of(Sort::Picture(3_000));
    let key = |n: u8| Key::of([&[n][..]]);
    keep(&indexes, &key(0), b"an index");
    let hour = std::time::Duration::from_secs(3600);
    let long_ago = std::time::SystemTime::now() - 100 * hour;
    for n in 0..4 {
        keep(&pictures, &key(n), &[n; 900]);
        let path = pictures.path(&key(n));
        let file = fs::File::options().write(true).open(path).unwrap();
        file.set_modified(long_ago + u32::from(n) * hour).unwrap();
    }
    let left: Vec<bool> = (0..4).map(|n| pictures.path(&key(n)).exists()).collect();
    assert_eq!(left, [false, true, true, true]);
    assert!(indexes.path(&key(0)).exists());
    // One that alone has no room stays until the next.
    keep(&pictures, &key(9), &[9; 5_000]);
    assert!(pictures.path(&key(9)).exists() && !pictures.path(&key(3)).exists());
}

#[test]
fn a_piece_of_a_kept_file_is_read_by_its_place() {
    let folder = tempfile::tempdir().unwrap();
    let cache = Cache::at(folder.path().to_path_buf()).of(Sort::Picture(1 << 20));
    let key = Key::of([b"x".as_slice()]);
    assert_eq!(cache.piece(&key, 0, 3).unwrap(), None);
    keep(&cache, &key, b"0123456789");
    assert_eq!(cache.piece(&key, 3, 4).unwrap().unwrap(), b"3456");
    assert_eq!(cache.piece(&key, 900, 4).unwrap(), None);
}

#[test]
fn a_write_that_fails_leaves_nothing_and_what_was_there() {
    let folder = tempfile::tempdir().unwrap();
    let cache = Cache::at(folder.path().to_path_buf());
    let key = Key::of([b"x".as_slice()]);
    keep(&cache, &key, b"before");
    let failed = cache.keep(&key, |to| {
        to.write_all(b"half")?;
        Err(std::io::Error::other("no more"))
    });
    assert!(failed.is_err());
    assert_eq!(kept(&cache, &key).unwrap(), (b"before".to_vec(), true));
    let names = fs::read_dir(folder.path()).unwrap().count();
    assert_eq!(names, 2, "the lock and the file");
}
