//! A library of many products: its front page lists the latest and asks for a name to show the others.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod wire;

use jiff::{Timestamp, ToSpan as _};
use library::Person;
use wire::Bench;

#[tokio::test(flavor = "multi_thread")]
async fn the_front_page_lists_the_latest_and_finds_the_others_by_name() {
    let bench = Bench::start().await;
    let begun: Timestamp = "2026-11-28T12:00:00Z".parse().unwrap();
    for number in 1..=70_i64 {
        let text = format!(
            "format = 1\n\n[product]\nname = \"Vellit {number:02}\"\nmaker = \"Brimo\"\nopened = 2026-03-01\n\n\
             [[items]]\nid = \"product\"\nname = \"the product\"\nkind = \"product\"\n"
        );
        let by = Person::from("A.");
        let at = begun + number.seconds();
        let made = bench.library.create(&text, Vec::new(), &by, at).await;
        made.unwrap();
    }
    let listed = |page: &str| page.matches("/intake\">").count();
    let all = bench.get("/").await.body;
    assert_eq!(listed(&all), 60);
    assert!(all.contains("Vellit 70") && all.contains("Vellit 11") && !all.contains("Vellit 10"));
    // Seventy and the demonstration.
    assert!(all.contains("and 11 more"), "{all}");
    assert!(all.contains("data-more"));
    let found = bench.get("/?words=vellit%2003").await.body;
    assert_eq!(listed(&found), 1);
    assert!(found.contains("Vellit 03") && !found.contains("data-more"));
    let many = bench.get("/?words=brimo").await.body;
    assert_eq!(listed(&many), 60);
    assert!(many.contains("and 10 more"));
}
