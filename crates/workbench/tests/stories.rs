//! The stories of the workbench, in a real browser: Debian's chromium, driven by keys.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

#[path = "stories/arrivals.rs"]
mod arrivals;
#[path = "stories/bare.rs"]
mod bare;
#[path = "stories/browser.rs"]
mod browser;
#[path = "stories/captions.rs"]
mod captions;
#[path = "stories/frame.rs"]
mod frame;
#[path = "stories/frames.rs"]
mod frames;
#[path = "stories/history.rs"]
mod history;
#[path = "stories/inside.rs"]
mod inside;
#[path = "stories/intake.rs"]
mod intake;
#[path = "stories/keymap.rs"]
mod keymap;
#[path = "stories/measuring.rs"]
mod measuring;
#[path = "stories/opening.rs"]
mod opening;
#[path = "stories/pages.rs"]
mod pages;
#[path = "stories/past.rs"]
mod past;
#[path = "stories/people.rs"]
mod people;
#[path = "stories/power.rs"]
mod power;
#[path = "stories/products.rs"]
mod products;
#[path = "stories/publishing.rs"]
mod publishing;
#[path = "stories/saving.rs"]
mod saving;
#[path = "stories/served.rs"]
mod served;
#[path = "stories/whole_board.rs"]
mod whole_board;
