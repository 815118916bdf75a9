//! How commands speak: to a terminal, to a file, to a program, to a shell.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod support;

use std::fs;
use std::path::Path;
use std::process::Command;
use support::{code, on_a_terminal, said, told, underlid};
use tempfile::TempDir;

fn started() -> TempDir {
    let at = TempDir::new().unwrap();
    assert_eq!(code(&underlid(&["new", "mine"], at.path())), 0);
    at
}

#[test]
fn nothing_but_the_answer_is_said_where_nobody_watches() {
    let at = started();
    let output = underlid(&["examine", "mine"], at.path());
    assert_eq!(code(&output), 0);
    assert_eq!(told(&output), "");
    assert!(!said(&output).contains('\u{1b}'));
}

#[test]
fn progress_is_one_line_on_a_terminal_and_gone_at_the_end() {
    let at = started();
    let Some(output) = on_a_terminal("underlid examine mine", "", "xterm", at.path()) else {
        return;
    };
    let text = said(&output);
    assert!(text.contains("\r\u{1b}[2K  … "), "{text:?}");
    // The last line of progress is wiped before the answer, and none is followed by a line break.
    let (progress, answer) = text.rsplit_once("\r\u{1b}[2K").unwrap();
    assert!(!progress.contains('\n'), "{progress:?}");
    assert!(answer.contains("Name of the product"), "{answer}");
    assert!(answer.contains("\u{1b}[1m"), "no colours: {answer:?}");

    let quiet = on_a_terminal("underlid --quiet examine mine", "", "xterm", at.path()).unwrap();
    assert!(!said(&quiet).contains('…'), "{}", said(&quiet));
    let plain = on_a_terminal("underlid examine mine", "", "dumb", at.path()).unwrap();
    assert!(!said(&plain).contains('\u{1b}'), "{:?}", said(&plain));
}

/// Every command that works for a while, on a terminal: one line in place of the one before, gone at the end;
/// nothing of it with `--quiet`.
#[test]
fn every_long_command_shows_one_live_line_and_none_where_it_is_to_be_quiet() {
    let at = started();
    let photo = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo/lamp/photos/lamp-led.jpg");
    fs::copy(photo, at.path().join("led.jpg")).unwrap();
    fs::write(at.path().join("parts.csv"), "name,codes\nOK4100,OK41\n").unwrap();
    for arguments in [
        "add photo led.jpg --caption x --in mine",
        "add reference card --photo led --shape distance --length 50mm --in mine --at",
        "add measure --photo led --what distance --in mine --at",
        "publish mine --bundle",
    ] {
        let mut words: Vec<&str> = arguments.split(' ').collect();
        if arguments.ends_with("--at") {
            words.push("10,10 500,10");
        }
        let output = underlid(&words, at.path());
        assert_eq!(code(&output), 0, "{arguments}: {}", told(&output));
        assert_eq!(told(&output), "", "{arguments}");
    }
    for line in [
        "check mine",
        "tasks mine",
        "examine mine",
        "ready mine",
        "verify mine/report/bundle",
        "publish mine",
        "measure mine",
        "outlines mine led",
        "picture mine",
        "read 4K7 --catalogue parts.csv",
        "read --photo led.jpg",
        "catalogue import parts.csv --into known.csv",
        "catalogue check parts.csv",
        "catalogue harvest mine --into known.csv",
        "set product.category lamp --in mine",
        "add mode on --in mine",
    ] {
        let Some(output) = on_a_terminal(&format!("underlid {line}"), "", "xterm", at.path())
        else {
            return;
        };
        let text = said(&output);
        let (progress, answer) = text.rsplit_once("\r\u{1b}[2K").unwrap_or_default();
        assert!(progress.starts_with("\r\u{1b}[2K  … "), "{line}: {text:?}");
        assert!(!progress.contains('\n'), "{line}: {progress:?}");
        assert!(
            !answer.is_empty() && !answer.contains("  … "),
            "{line}: {answer:?}"
        );
        let quiet = format!("underlid {line} --quiet");
        let quiet = on_a_terminal(&quiet, "", "xterm", at.path()).unwrap();
        assert!(!said(&quiet).contains('…'), "{line}: {}", said(&quiet));
    }
}

#[test]
fn colours_follow_the_option() {
    let at = started();
    let colours = |when: &str| {
        let output = underlid(&["examine", "mine", "--color", when], at.path());
        assert_eq!(code(&output), 0);
        said(&output).contains('\u{1b}')
    };
    assert!(colours("always"));
    assert!(!colours("never"));
    assert!(!colours("auto"));
}

#[test]
fn what_is_missing_is_asked_for_on_a_terminal() {
    let at = started();
    let typed = "front of the box\nweight\nmass\n48 mm\n48 g\n";
    let line = "underlid add claim 'Only 48 g' --in mine";
    let Some(output) = on_a_terminal(line, typed, "dumb", at.path()) else {
        return;
    };
    let text = said(&output);
    assert!(text.contains("printed: where it is printed"), "{text}");
    assert!(text.contains("run time in a mode; needs value"), "{text}");
    assert!(text.contains("write \"mass\""), "{text}");
    assert!(text.contains("such as 83.4 g"), "{text}");
    assert!(text.contains("must be a mass, found a length"), "{text}");
    assert!(text.contains("Added claims.mass"), "{text}");
    let dossier = fs::read_to_string(at.path().join("mine/dossier.toml")).unwrap();
    assert!(dossier.contains("\nvalue = \"48 g\"\n"), "{dossier}");
}

#[test]
fn the_current_folder_is_the_dossier_where_none_is_named() {
    let at = started();
    let mine = at.path().join("mine");
    for arguments in [
        &["check"][..],
        &["examine"],
        &["tasks"],
        &["add", "instrument", "scale"],
        &["catalogue", "harvest", "--into", "../known.csv"],
    ] {
        let inside = underlid(arguments, &mine);
        assert_ne!(code(&inside), 2, "{arguments:?}: {}", told(&inside));
        assert_ne!(code(&inside), 3, "{arguments:?}: {}", told(&inside));
        let outside = underlid(arguments, at.path());
        assert_eq!(code(&outside), 3, "{arguments:?}");
        let told = told(&outside);
        assert!(told.contains("there is no dossier.toml in /"), "{told}");
        assert!(told.contains("underlid new"), "{told}");
    }
    let photo = underlid(&["outlines", "nowhere"], &mine);
    assert!(told(&photo).contains("nowhere"), "{}", told(&photo));
}

#[cfg(unix)]
#[test]
fn a_report_is_opened_by_the_systems_own_way_or_said_not_to_be() {
    use std::os::unix::fs::PermissionsExt as _;
    let at = started();
    let tools = at.path().join("tools");
    fs::create_dir(&tools).unwrap();
    let publish = || {
        Command::new(env!("CARGO_BIN_EXE_underlid"))
            .args(["publish", "mine", "--open"])
            .current_dir(at.path())
            .env("PATH", &tools)
            .output()
            .unwrap()
    };
    let output = publish();
    assert_eq!(code(&output), 0, "{}", told(&output));
    assert!(
        told(&output).contains("was not opened"),
        "{}",
        told(&output)
    );
    let opener = tools.join("xdg-open");
    let note = at.path().join("opened");
    fs::write(
        &opener,
        format!("#!/bin/sh\necho \"$1\" > {}\n", note.display()),
    )
    .unwrap();
    fs::set_permissions(&opener, fs::Permissions::from_mode(0o755)).unwrap();
    let output = publish();
    assert_eq!(told(&output), "");
    // It is not waited for; it is only a matter of when, not of whether.
    while !fs::read_to_string(&note).is_ok_and(|text| text.ends_with('\n')) {
        std::thread::yield_now();
    }
    assert_eq!(
        fs::read_to_string(&note).unwrap(),
        "mine/report/report.html\n"
    );
}

#[test]
fn completions_and_the_manual_come_from_the_program() {
    let at = TempDir::new().unwrap();
    for (shell, command) in [("bash", "bash"), ("zsh", "zsh"), ("fish", "fish")] {
        let output = underlid(&["completions", shell], at.path());
        assert_eq!(code(&output), 0);
        let text = said(&output);
        for word in ["harvest", "transducer", "with-new-material"] {
            assert!(text.contains(word), "{shell} knows no {word}");
        }
        let file = at.path().join(shell);
        fs::write(&file, &text).unwrap();
        // Where the shell is installed, it reads them.
        let Ok(read) = Command::new(command).arg("-n").arg(&file).output() else {
            continue;
        };
        assert!(read.status.success(), "{shell}: {}", told(&read));
    }
    let page = underlid(&["man"], at.path());
    assert!(said(&page).contains(".TH underlid 1"), "{}", said(&page));
    let page = underlid(&["man", "add", "step"], at.path());
    assert!(said(&page).contains("fastener"), "{}", said(&page));
    let none = underlid(&["man", "nothing"], at.path());
    assert_eq!(code(&none), 2);
    assert!(told(&none).contains("publish"), "{}", told(&none));
}

#[test]
fn help_lists_every_command_and_names_no_suffix_of_an_application() {
    let at = TempDir::new().unwrap();
    let help = said(&underlid(&["--help"], at.path()));
    for command in [
        "demo",
        "new",
        "add",
        "tasks",
        "publish",
        "catalogue",
        "completions",
        "man",
    ] {
        assert!(
            help.contains(&format!("\n  {command} ")),
            "{command}: {help}"
        );
    }
    for heading in ["Begin:", "Record:", "Conclude:", "Exit codes:"] {
        assert!(help.contains(heading), "{heading}");
    }
    for command in [
        &["catalogue", "import", "--help"][..],
        &["read", "--help"],
        &["--help"],
    ] {
        let help = said(&underlid(command, at.path()));
        assert!(
            !help.contains("sym,") && !help.contains("*."),
            "{command:?}: {help}"
        );
    }
}
