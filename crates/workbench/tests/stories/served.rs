//! The server of the stories, in a process of its own: this very program, asked for this one test.

use std::net::{Ipv4Addr, SocketAddr};
use std::path::PathBuf;

/// Serves the library in the folder that the environment names, until it is killed.
#[tokio::test(flavor = "multi_thread")]
#[ignore = "it is run by the stories, in a process of its own"]
async fn serve() {
    let Some(folder) = std::env::var_os("UNDERLID_STORY_LIBRARY").map(PathBuf::from) else {
        return;
    };
    let port: u16 = std::env::var("UNDERLID_STORY_PORT")
        .unwrap()
        .parse()
        .unwrap();
    let person = library::Person::from("A.");
    let served = app::served(&folder, &person).await.unwrap();
    if std::env::var_os("UNDERLID_STORY_BARE").is_some() {
        crate::bare::add(&served.library, &person).await;
    }
    if std::env::var_os("UNDERLID_STORY_LARGE").is_some() {
        crate::frames::add(&served.library, &person).await;
    }
    if std::env::var_os("UNDERLID_STORY_PAST").is_some() {
        crate::past::add(&served.library).await;
    }
    let serving = workbench::serve(workbench::Options {
        desk: app::desk::Desk::at(served.library, Vec::new()).keeping_parts_in(served.own_parts),
        address: SocketAddr::from((Ipv4Addr::LOCALHOST, port)),
        person,
        secret: workbench::Secret::of(served.secret),
    });
    let any = SocketAddr::from((Ipv4Addr::LOCALHOST, 0));
    let serving = serving.await.unwrap().with_phone(any).await.unwrap();
    // Behind the lines of the test program itself.
    println!("\nserving {}", serving.url());
    serving.run(std::future::pending()).await.unwrap();
}
