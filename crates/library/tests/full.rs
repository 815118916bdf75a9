//! A full disk: what cannot be kept is told as that, nothing of it is half kept, and it goes on when there is room.

#[path = "keeping/bench.rs"]
#[allow(dead_code, reason = "the bench has more than this test needs")]
mod bench;

use async_trait::async_trait;
use bench::{AT, category, lamp, list};
use bytes::Bytes;
use futures::stream::BoxStream;
use library::{DossierId, Library, LibraryError, ListState, Memory, Person, Submission, Taken};
use object_store::memory::InMemory;
use object_store::path::Path as Key;
use object_store::{
    CopyOptions, GetOptions, GetResult, ListResult, MultipartUpload, ObjectMeta, ObjectStore,
    PutMultipartOptions, PutOptions, PutPayload, PutResult, Result,
};
use record::Edit;
use std::path::Path;
use std::process::Command;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

/// An object store that has no room while it is told so.
#[derive(Debug, Default)]
struct Small {
    inner: InMemory,
    full: Arc<AtomicBool>,
}

impl std::fmt::Display for Small {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("a small store")
    }
}

#[async_trait]
impl ObjectStore for Small {
    async fn put_opts(
        &self,
        at: &Key,
        payload: PutPayload,
        options: PutOptions,
    ) -> Result<PutResult> {
        if self.full.load(Ordering::Relaxed) {
            // ENOSPC, as the local store passes it on.
            let source = Box::new(std::io::Error::from_raw_os_error(28));
            return Err(object_store::Error::Generic {
                store: "small",
                source,
            });
        }
        self.inner.put_opts(at, payload, options).await
    }
    async fn put_multipart_opts(
        &self,
        at: &Key,
        options: PutMultipartOptions,
    ) -> Result<Box<dyn MultipartUpload>> {
        self.inner.put_multipart_opts(at, options).await
    }
    async fn get_opts(&self, at: &Key, options: GetOptions) -> Result<GetResult> {
        self.inner.get_opts(at, options).await
    }
    fn delete_stream(
        &self,
        at: BoxStream<'static, Result<Key>>,
    ) -> BoxStream<'static, Result<Key>> {
        self.inner.delete_stream(at)
    }
    fn list(&self, within: Option<&Key>) -> BoxStream<'static, Result<ObjectMeta>> {
        self.inner.list(within)
    }
    async fn list_with_delimiter(&self, within: Option<&Key>) -> Result<ListResult> {
        self.inner.list_with_delimiter(within).await
    }
    async fn copy_opts(&self, from: &Key, to: &Key, options: CopyOptions) -> Result<()> {
        self.inner.copy_opts(from, to, options).await
    }
}

#[tokio::test]
async fn an_upload_that_finds_no_room_leaves_nothing() {
    let small = Small::default();
    let full = Arc::clone(&small.full);
    let library = Library::of(Arc::new(Memory::default()), Arc::new(small));
    let id = lamp(&library).await;
    full.store(true, Ordering::Relaxed);
    let photograph = Bytes::from_static(b"many bytes");
    let added = library
        .add_file(&id, "photos/lid.jpg", photograph.clone())
        .await;
    assert!(matches!(added, Err(LibraryError::Full(_))), "{added:?}");
    assert_eq!(library.files(&id).await.expect("there"), []);
    full.store(false, Ordering::Relaxed);
    library
        .add_file(&id, "photos/lid.jpg", photograph)
        .await
        .expect("room");
    assert!(library.verify().await.expect("in reach").damage.is_empty());
}

/// A disk of its own in memory, which goes when it is dropped.
struct Disk(tempfile::TempDir);

impl Disk {
    /// Mounts one of so many kilobytes, where that is allowed.
    fn of(kilobytes: u64) -> Option<Self> {
        let folder = tempfile::tempdir().expect("a temporary folder");
        let mounted = Command::new("mount")
            .args(["-t", "tmpfs", "-o", &format!("size={kilobytes}k"), "tmpfs"])
            .arg(folder.path())
            .output();
        if mounted.is_ok_and(|mounted| mounted.status.success()) {
            return Some(Self(folder));
        }
        assert!(
            std::env::var_os("UNDERLID_NOTHING_SKIPPED").is_none(),
            "a disk in memory needs the right to mount one"
        );
        eprintln!("skipped: a disk in memory needs the right to mount one");
        None
    }

    /// Fills it but for so many bytes.
    fn fill_but(&self, bytes: usize) {
        use std::io::Write as _;
        let path = self.0.path().join("ballast");
        let mut ballast = std::fs::File::create(&path).expect("room for a name");
        while ballast.write_all(&[0; 1024]).is_ok() {}
        let length = ballast.metadata().expect("a file").len();
        ballast
            .set_len(length.saturating_sub(bytes as u64))
            .expect("shorter");
    }

    fn empty(&self) {
        std::fs::remove_file(self.0.path().join("ballast")).expect("there");
    }
}

impl Drop for Disk {
    fn drop(&mut self) {
        let _ = Command::new("umount").arg(self.0.path()).output();
    }
}

async fn sent(
    library: &Library,
    id: &DossierId,
    seq: u64,
) -> std::result::Result<Taken, LibraryError> {
    let Edit::Set { at, new, .. } = category(&format!("kind {seq}"), serde_json::Value::Null)
    else {
        unreachable!("a value is set");
    };
    let lists = vec![list(seq, vec![Edit::Set { at, new, old: None }])];
    let client = "a".parse().expect("a letter");
    let submission = Submission { client, lists };
    library.take(id, &submission, &Person::from("A"), AT).await
}

#[tokio::test]
async fn a_save_that_finds_no_room_is_told_and_can_be_sent_again() {
    let Some(disk) = Disk::of(6 * 1024) else {
        return;
    };
    let library = Library::open(Path::new(&disk.0.path().join("library")))
        .await
        .expect("room");
    let id = lamp(&library).await;
    let mut seq = 0;
    let mut refused = 0;
    for room in [0, 4 << 10, 12 << 10, 40 << 10, 90 << 10, 200 << 10] {
        disk.fill_but(room);
        for _ in 0..200 {
            seq += 1;
            let before = library.current(&id).await.expect("reading needs no room");
            match sent(&library, &id, seq).await {
                Ok(Taken::Lists(answer)) => {
                    assert!(
                        matches!(answer.lists[0].state, ListState::Kept { .. }),
                        "{answer:?}"
                    );
                    continue;
                }
                Ok(other) => panic!("{other:?}"),
                Err(LibraryError::Full(_)) => {}
                Err(other) => panic!("with {room} bytes left: {other:?}"),
            }
            refused += 1;
            let after = library.current(&id).await.expect("reading needs no room");
            assert_eq!((after.revision, after.text), (before.revision, before.text));
            break;
        }
        let photograph = Bytes::from(vec![u8::try_from(seq % 251).expect("small"); 600 << 10]);
        let path = format!("photos/{seq}.jpg");
        let added = library.add_file(&id, &path, photograph.clone()).await;
        assert!(matches!(added, Err(LibraryError::Full(_))), "{added:?}");
        disk.empty();
        assert!(library.verify().await.expect("in reach").damage.is_empty());
        let before = library.head(&id).await.expect("there").revision;
        sent(&library, &id, seq).await.expect("there is room again");
        assert_eq!(library.head(&id).await.expect("there").revision, before + 1);
        library
            .add_file(&id, &path, photograph)
            .await
            .expect("there is room again");
    }
    assert_eq!(refused, 6, "each time the disk was full in the end");
    let verified = library.verify().await.expect("in reach");
    assert_eq!((verified.damage.len(), verified.files), (0, 6));
    library.close().await;
}
