//! A server with TLS on the loopback address. Its certificate and key (`tests/data/loopback`) were
//! made for these tests and are good for nothing else.

use std::io::{BufRead, BufReader, Write};
use std::net::TcpListener;
use std::sync::{Arc, Mutex};

use rustls::pki_types::{CertificateDer, PrivateKeyDer};
use rustls::{ServerConfig, ServerConnection, StreamOwned};

pub const CERTIFICATE: &[u8] = include_bytes!("../data/loopback/cert.der");
const KEY: &[u8] = include_bytes!("../data/loopback/key.der");

pub struct TlsServer {
    pub base: String,
    pub asked: Arc<Mutex<Vec<String>>>,
}

impl TlsServer {
    /// Gives its answers in order, the last one again and again.
    pub fn start(answers: Vec<Vec<u8>>) -> Self {
        let provider = Arc::new(rustls::crypto::ring::default_provider());
        let key = PrivateKeyDer::try_from(KEY.to_vec()).unwrap();
        let config = ServerConfig::builder_with_provider(provider)
            .with_safe_default_protocol_versions()
            .unwrap()
            .with_no_client_auth()
            .with_single_cert(vec![CertificateDer::from(CERTIFICATE.to_vec())], key)
            .unwrap();
        let config = Arc::new(config);
        let listener = TcpListener::bind("127.0.0.1:0").unwrap();
        let base = format!("https://{}", listener.local_addr().unwrap());
        let asked = Arc::new(Mutex::new(Vec::new()));
        let log = Arc::clone(&asked);
        std::thread::spawn(move || {
            for (turn, socket) in listener.incoming().enumerate() {
                let Ok(socket) = socket else { return };
                let Ok(connection) = ServerConnection::new(Arc::clone(&config)) else {
                    return;
                };
                let mut stream = BufReader::new(StreamOwned::new(connection, socket));
                let mut head = String::new();
                while stream.read_line(&mut head).is_ok_and(|n| n > 2) {}
                if head.is_empty() {
                    continue;
                }
                log.lock().unwrap().push(head);
                let answer = &answers[turn.min(answers.len() - 1)];
                let stream = stream.get_mut();
                let _ = stream.write_all(answer).and_then(|()| stream.flush());
                stream.conn.send_close_notify();
                let _ = stream.flush();
            }
        });
        Self { base, asked }
    }
}
