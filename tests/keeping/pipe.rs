//! What a command prints into may be closed before it has printed everything, as `head` does.

use std::fs;
use std::process::Command;

/// What the command says where nobody reads on, and whether it went well.
fn unread(words: &[&str]) -> (bool, String) {
    let (reader, writer) = std::io::pipe().unwrap();
    drop(reader);
    let done = Command::new(env!("CARGO_BIN_EXE_dowel")).args(words).stdout(writer).output().unwrap();
    (done.status.success(), String::from_utf8_lossy(&done.stderr).into_owned())
}

#[test]
fn a_command_whose_output_nobody_reads_on_ends_quietly() {
    let folder = tempfile::tempdir().unwrap();
    let file = |name: &str, text: &str| {
        let path = folder.path().join(name);
        fs::write(&path, text).unwrap();
        path.display().to_string()
    };
    let session = file("session.txt", "A. For time\n3 rounds\n10 air squats\n");
    let member = file("member.json", r#"{"kit":[],"limits":[]}"#);
    for words in [
        &["read", &session][..],
        &["read", "--json", &session],
        &["read", "--clocks", &session],
        &["tailor", &session, "--member", &member],
        &["captions", "--typed", &file("chapters.txt", "0:00 A\n0:30 B\n")],
        &[
            "coach",
            "add",
            "--name",
            "Mara",
            "--sign-in",
            "mara@example.org",
            "--data",
            &folder.path().join("data").display().to_string(),
        ],
    ] {
        let (well, said) = unread(words);
        assert!(well, "{words:?}: {said}");
    }
}
