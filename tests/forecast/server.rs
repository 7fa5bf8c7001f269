//! A small HTTP server on the loopback address that answers as it is told.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::{TcpListener, TcpStream};
use std::sync::{Arc, Mutex};
use std::time::Duration;

/// One answer: bytes as they go over the wire, and how.
#[derive(Debug, Clone)]
#[allow(dead_code)] // Each file of tests uses some of them.
pub enum Answer {
    /// Status line, headers and body, then the connection is closed.
    Whole(Vec<u8>),
    /// The same after a wait.
    After(Duration, Vec<u8>),
    /// The head, then one byte of the body each so many milliseconds, without end.
    Drip(Vec<u8>, u64),
    /// The head, then zeros without end.
    Flood(Vec<u8>),
}

pub fn ok(body: &str, headers: &[(&str, &str)]) -> Answer {
    Answer::Whole(reply(200, body, headers))
}

pub fn status(status: u16, headers: &[(&str, &str)]) -> Answer {
    Answer::Whole(reply(status, "", headers))
}

pub fn reply(status: u16, body: &str, headers: &[(&str, &str)]) -> Vec<u8> {
    let mut text = format!(
        "HTTP/1.1 {status} Status\r\nContent-Length: {}\r\nConnection: close\r\n",
        body.len()
    );
    for (name, value) in headers {
        let _ = std::fmt::Write::write_fmt(&mut text, format_args!("{name}: {value}\r\n"));
    }
    text.push_str("\r\n");
    text.push_str(body);
    text.into_bytes()
}

/// A server that gives its answers in order; the last one again and again.
pub struct Server {
    pub base: String,
    /// Request lines and headers, one string a request.
    pub asked: Arc<Mutex<Vec<String>>>,
}

impl Server {
    /// Starts it. `{base}` in an answer stands for its own address.
    pub fn start(answers: impl FnOnce(&str) -> Vec<Answer>) -> Self {
        let listener = TcpListener::bind("127.0.0.1:0").unwrap();
        let base = format!("http://{}", listener.local_addr().unwrap());
        let answers = answers(&base);
        let asked = Arc::new(Mutex::new(Vec::new()));
        let log = Arc::clone(&asked);
        std::thread::spawn(move || {
            for (turn, stream) in listener.incoming().enumerate() {
                let Ok(stream) = stream else { return };
                let answer = answers[turn.min(answers.len() - 1)].clone();
                let log = Arc::clone(&log);
                std::thread::spawn(move || serve(stream, answer, &log));
            }
        });
        Self { base, asked }
    }

    pub fn requests(&self) -> Vec<String> {
        self.asked.lock().unwrap().clone()
    }
}

fn serve(mut stream: TcpStream, answer: Answer, log: &Mutex<Vec<String>>) {
    let mut head = String::new();
    let mut reader = BufReader::new(stream.try_clone().unwrap().take(1 << 16));
    while reader.read_line(&mut head).is_ok_and(|n| n > 2) {}
    log.lock().unwrap().push(head);
    let _ = match answer {
        Answer::Whole(bytes) => stream.write_all(&bytes),
        Answer::After(wait, bytes) => {
            std::thread::sleep(wait);
            stream.write_all(&bytes)
        }
        Answer::Drip(head, millis) => {
            let mut sent = stream.write_all(&head);
            while sent.is_ok() {
                std::thread::sleep(Duration::from_millis(millis));
                sent = stream.write_all(b" ");
            }
            sent
        }
        Answer::Flood(head) => {
            let mut sent = stream.write_all(&head);
            let zeros = vec![b' '; 1 << 16];
            while sent.is_ok() {
                sent = stream.write_all(&zeros);
            }
            sent
        }
    };
}
