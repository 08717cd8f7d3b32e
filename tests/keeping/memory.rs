//! A practice that is served, from outside: as a process with memory, on a socket.
#![cfg(target_os = "linux")]

use std::io::{BufRead, BufReader, Read, Write};
use std::net::{TcpListener, TcpStream};
use std::process::{Child, Command, Stdio};
use std::thread;

/// `dowel serve` as a process; it ends when this goes.
struct Served {
    process: Child,
    address: String,
}

impl Served {
    fn start(data: &std::path::Path) -> Self {
        // a port that is free just now
        let address = TcpListener::bind("127.0.0.1:0").unwrap().local_addr().unwrap().to_string();
        let mut process = Command::new(env!("CARGO_BIN_EXE_dowel"))
            .args(["serve", "--listen", &address, "--data"])
            .arg(data)
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        let mut log = BufReader::new(process.stderr.take().unwrap()).lines();
        assert!(log.by_ref().map_while(Result::ok).any(|line| line.contains("ready")), "it starts");
        thread::spawn(move || log.for_each(drop));
        Self { process, address }
    }

    /// The status of an answer to a form.
    fn post(&self, path: &str, form: &str) -> String {
        let mut stream = TcpStream::connect(&self.address).unwrap();
        let request = format!(
            "POST {path} HTTP/1.1\r\nhost: {}\r\nconnection: close\r\ncontent-type: application/x-www-form-urlencoded\r\n\
             content-length: {}\r\n\r\n{form}",
            self.address,
            form.len()
        );
        stream.write_all(request.as_bytes()).unwrap();
        let mut answer = String::new();
        stream.read_to_string(&mut answer).unwrap();
        answer.split_whitespace().nth(1).unwrap_or_default().to_owned()
    }

    /// Memory that it has now, MB.
    fn resident(&self) -> u64 {
        let status = std::fs::read_to_string(format!("/proc/{}/status", self.process.id())).unwrap();
        let kb = status.lines().find_map(|l| l.strip_prefix("VmRSS:")).unwrap().trim().trim_end_matches(" kB");
        kb.parse::<u64>().unwrap() / 1024
    }
}

impl Drop for Served {
    fn drop(&mut self) {
        let _ = self.process.kill();
        let _ = self.process.wait();
    }
}

#[test]
fn many_wrong_sign_ins_at_once_leave_the_memory_as_it_was() {
    let (_folder, data) = crate::practice();
    let served = Served::start(&data);
    // warm: pages, pools, the first hash
    assert_eq!(served.post("/sign-in", "name=mara@example.org&password=a+guess"), "422");
    let before = served.resident();
    let statuses: Vec<String> = thread::scope(|s| {
        let guesses: Vec<_> = (0..39)
            .map(|n| {
                s.spawn({
                    let served = &served;
                    move || served.post("/sign-in", &format!("name=guess{n}&password=a+guess"))
                })
            })
            .collect();
        guesses.into_iter().map(|guess| guess.join().unwrap()).collect()
    });
    let hashed = statuses.iter().filter(|status| *status == "422").count();
    assert!(hashed >= 30, "{statuses:?}");
    let after = served.resident();
    assert!(after < before + 32, "{before} MB became {after} MB after {hashed} hashes");
}
