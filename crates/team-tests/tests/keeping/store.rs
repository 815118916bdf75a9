//! The store of photographs: what is asked of it, and who is let in.

use crate::bench::{AT, lamp};
use bytes::Bytes;
use library::{FileEntry, Library, LibraryError, StoreKey, store_at};
use object_store::path::Path as Key;
use object_store::{
    ObjectStore, ObjectStoreExt as _, PutMode, PutMultipartOptions, PutOptions, PutPayload,
};
use std::sync::Arc;
use team_tests::{Bucket, Cluster, SECRET, store_key, team};

fn store() -> Arc<dyn ObjectStore> {
    store_at(&Bucket::shared().address(), &store_key()).expect("an address")
}

#[tokio::test]
async fn what_was_put_comes_back_whole_and_in_part() {
    let (store, key) = (store(), Key::from("objects/one"));
    let bytes = Bytes::from(
        (0..100_000_u32)
            .map(|n| (n % 251) as u8)
            .collect::<Vec<_>>(),
    );
    store
        .put(&key, PutPayload::from_bytes(bytes.clone()))
        .await
        .expect("let in");
    let whole = store
        .get(&key)
        .await
        .expect("there")
        .bytes()
        .await
        .expect("sent");
    assert_eq!(whole, bytes);
    let part = store.get_range(&key, 70_000..70_100).await.expect("there");
    assert_eq!(part, bytes.slice(70_000..70_100));
}

#[tokio::test]
async fn what_is_there_is_not_created_again() {
    let (store, key) = (store(), Key::from("objects/one"));
    let create = async |text: &'static str| {
        let put = PutPayload::from_static(text.as_bytes());
        store
            .put_opts(&key, put, PutOptions::from(PutMode::Create))
            .await
    };
    create("first").await.expect("nothing is there");
    let again = create("second").await;
    assert!(
        matches!(again, Err(object_store::Error::AlreadyExists { .. })),
        "{again:?}"
    );
    let there = store
        .get(&key)
        .await
        .expect("there")
        .bytes()
        .await
        .expect("sent");
    assert_eq!(there, "first");
}

#[tokio::test]
async fn a_large_object_may_come_in_parts() {
    let (store, key) = (store(), Key::from("objects/large"));
    let part = vec![7_u8; 5 * 1024 * 1024];
    let mut upload = store
        .put_multipart_opts(&key, PutMultipartOptions::default())
        .await
        .expect("begun");
    upload.put_part(part.clone().into()).await.expect("taken");
    upload.put_part(vec![8_u8; 10].into()).await.expect("taken");
    assert!(
        store.head(&key).await.is_err(),
        "not there before it is complete"
    );
    upload.complete().await.expect("complete");
    let whole = store
        .get(&key)
        .await
        .expect("there")
        .bytes()
        .await
        .expect("sent");
    assert_eq!((whole.len(), whole[part.len()]), (part.len() + 10, 8));
}

#[tokio::test]
async fn a_wrong_secret_is_not_let_in_and_not_told() {
    let wrong = StoreKey {
        key: "bench".into(),
        secret: "guessed and unspoken".into(),
    };
    let address = Bucket::shared().address();
    let store = store_at(&address, &wrong).expect("an address");
    let key = Key::from("objects/one");
    let put = store.put(&key, PutPayload::from_static(b"mine")).await;
    let put = put.expect_err("it is not signed by the secret");
    assert!(format!("{put:?}").contains("403"), "{put:?}");
    let right = store_at(&address, &store_key()).expect("an address");
    assert!(matches!(
        right.get(&key).await,
        Err(object_store::Error::NotFound { .. })
    ));
    let Some(cluster) = Cluster::shared() else {
        return;
    };
    let opened = Library::team(&cluster.database(), &address, &wrong)
        .await
        .err();
    let Some(LibraryError::Unreachable(why)) = opened else {
        panic!("{opened:?}");
    };
    assert!(!why.contains("unspoken") && !why.contains(SECRET), "{why}");
}

#[tokio::test]
async fn a_damaged_photograph_is_found_and_mended_by_the_same_file() {
    let Some((database, library)) = team().await else {
        return;
    };
    let id = lamp(&library).await;
    let log = Bytes::from_static(b"s,mA\n0,45\n");
    let entry = FileEntry::of("logs/night.csv", &log);
    library
        .add_file(&id, &entry.path, log.clone())
        .await
        .expect("room");
    let address = Bucket::shared().address();
    let other = Library::team(&database, &address, &store_key()).await;
    let other = other.expect("another store beside the same rows");
    let read = other.bytes(&id, &entry.path).await;
    assert!(matches!(read, Err(LibraryError::Damaged(_))), "{read:?}");
    assert_eq!(other.verify().await.expect("in reach").damage.len(), 1);
    let store = store_at(&address, &store_key()).expect("an address");
    let put = PutPayload::from_static(b"s,mA\n0,46\n");
    store.put(&entry.key(), put).await.expect("let in");
    assert_eq!(other.verify().await.expect("in reach").damage.len(), 1);
    other
        .add_file(&id, &entry.path, log)
        .await
        .expect("the same");
    assert_eq!(other.verify().await.expect("in reach").damage, []);
    other.withdraw(&id, true, AT).await.expect("there");
}
