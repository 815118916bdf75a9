//! A store that speaks S3, in this process, on loopback; it lets in only what is signed with its secret.

use hyper_util::rt::{TokioExecutor, TokioIo};
use hyper_util::server::conn::auto::Builder;
use s3s::auth::SimpleAuth;
use s3s::service::S3ServiceBuilder;
use s3s_fs::FileSystem;
use std::net::SocketAddr;
use std::path::Path;
use std::sync::OnceLock;
use std::sync::atomic::{AtomicU32, Ordering};
use tempfile::TempDir;

/// The name of the key that is let in.
pub const KEY: &str = "bench";

/// Its secret.
pub const SECRET: &str = "a secret of the bench";

/// A running store.
pub struct Bucket {
    folder: TempDir,
    address: SocketAddr,
    prefixes: AtomicU32,
}

impl Bucket {
    /// Returns the store that the tests of this program share.
    pub fn shared() -> &'static Self {
        static SHARED: OnceLock<Bucket> = OnceLock::new();
        SHARED.get_or_init(Self::begin)
    }

    /// Starts a store.
    ///
    /// # Panics
    /// Where the system gives no folder, port or thread.
    pub fn begin() -> Self {
        let folder = tempfile::tempdir().expect("a temporary folder");
        std::fs::create_dir(folder.path().join("bench")).expect("a bucket is a folder");
        let mut service =
            S3ServiceBuilder::new(FileSystem::new(folder.path()).expect("the folder is there"));
        service.set_auth(SimpleAuth::from_single(KEY, SECRET));
        let service = service.build();
        let listener = std::net::TcpListener::bind("127.0.0.1:0").expect("a free port");
        listener.set_nonblocking(true).expect("it can be");
        let address = listener.local_addr().expect("bound");
        std::thread::spawn(move || {
            let runtime = tokio::runtime::Builder::new_multi_thread()
                .worker_threads(2)
                .enable_all()
                .build()
                .expect("the system has threads");
            runtime.block_on(async move {
                let listener = tokio::net::TcpListener::from_std(listener).expect("it listens");
                while let Ok((socket, _)) = listener.accept().await {
                    let service = service.clone();
                    tokio::spawn(async move {
                        let builder = Builder::new(TokioExecutor::new());
                        let connection = builder.serve_connection(TokioIo::new(socket), service);
                        // A client that goes away is no fault of the store.
                        let _ = connection.await;
                    });
                }
            });
        });
        Self {
            folder,
            address,
            prefixes: AtomicU32::new(0),
        }
    }

    /// Returns an address in it under which nothing was kept yet.
    pub fn address(&self) -> String {
        let number = self.prefixes.fetch_add(1, Ordering::Relaxed);
        format!(
            "s3://bench/library-{number}?endpoint=http://{}",
            self.address
        )
    }

    /// Where its objects lie.
    pub fn folder(&self) -> &Path {
        self.folder.path()
    }
}
