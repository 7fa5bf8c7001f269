//! One request with its retries, redirects and limits.

use std::io::Read;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;

use ureq::Agent;
use ureq::http::{HeaderMap, Uri};
use ureq::tls::{Certificate, RootCerts, TlsConfig};

use super::config::FetchConfig;
use super::{FetchError, Progress};

/// Longest pause between two attempts.
const LONGEST_PAUSE: Duration = Duration::from_secs(60);

/// An answer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Reply {
    /// The document asked for.
    Document(Document),
    /// What is kept is still the newest.
    NotModified,
}

/// A document with what a later request can refer to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Document {
    pub body: Vec<u8>,
    pub etag: Option<String>,
    pub last_modified: Option<String>,
    /// The address it came from, after redirects.
    pub url: String,
}

/// What is kept, for a conditional request.
#[derive(Debug, Clone, Default)]
pub(super) struct Condition<'a> {
    pub etag: Option<&'a str>,
    pub last_modified: Option<&'a str>,
}

/// Asks for one address.
pub(super) struct Client<'a> {
    config: &'a FetchConfig,
    agent: Agent,
    called_off: &'a AtomicBool,
}

impl<'a> Client<'a> {
    pub(super) fn new(config: &'a FetchConfig, called_off: &'a AtomicBool) -> Self {
        let mut tls = TlsConfig::builder();
        if let Some(bytes) = &config.own_certificate {
            // As text (PEM) or as plain bytes (DER); what is neither is trusted by nobody.
            let own = if bytes.starts_with(b"-----BEGIN") {
                Certificate::from_pem(bytes).map_or_else(|_| Vec::new(), |own| vec![own])
            } else {
                vec![Certificate::from_der(bytes).to_owned()]
            };
            tls = tls.root_certs(RootCerts::new_with_certs(&own));
        }
        let agent = Agent::config_builder()
            .tls_config(tls.build())
            .https_only(config.tls_only())
            .http_status_as_error(false)
            .timeout_connect(Some(config.connect_timeout))
            .timeout_global(Some(config.total_timeout))
            // Redirects are followed here, one by one, so that each host is looked at.
            .max_redirects(0)
            .max_redirects_will_error(false)
            .proxy(None)
            .user_agent(config.user_agent.as_str())
            .accept("application/geo+json, application/json, text/csv")
            .build()
            .new_agent();
        Self {
            config,
            agent,
            called_off,
        }
    }

    /// Asks, again after a pause where the failure may pass.
    pub(super) fn get(
        &self,
        url: &str,
        condition: &Condition<'_>,
        progress: &mut dyn FnMut(Progress),
    ) -> Result<Reply, FetchError> {
        let mut pause = self.config.pause;
        for attempt in 1.. {
            let (error, wanted) = match self.once(url, condition, attempt, progress) {
                Ok(reply) => return Ok(reply),
                Err(failed) => failed,
            };
            if attempt >= self.config.attempts || !error.is_passing() {
                return Err(error);
            }
            let wait = wanted.unwrap_or(pause).min(LONGEST_PAUSE);
            progress(Progress::Waiting {
                millis: u64::try_from(wait.as_millis()).unwrap_or(u64::MAX),
                because: error.to_string(),
            });
            self.sleep(wait)?;
            pause = (pause * 2).min(LONGEST_PAUSE);
        }
        Err(FetchError::Network("no attempt was allowed".to_owned()))
    }

    /// Sleeps in short turns, so that calling off does not wait.
    fn sleep(&self, wait: Duration) -> Result<(), FetchError> {
        let turn = Duration::from_millis(20);
        let mut left = wait;
        while !left.is_zero() {
            self.go_on()?;
            let now = left.min(turn);
            std::thread::sleep(now);
            left -= now;
        }
        Ok(())
    }

    fn go_on(&self) -> Result<(), FetchError> {
        if self.called_off.load(Ordering::Relaxed) {
            Err(FetchError::CalledOff)
        } else {
            Ok(())
        }
    }

    /// One attempt, its redirects among it; a failure comes with the pause the service asks for.
    fn once(
        &self,
        url: &str,
        condition: &Condition<'_>,
        attempt: u32,
        progress: &mut dyn FnMut(Progress),
    ) -> Result<Reply, (FetchError, Option<Duration>)> {
        let fail = |error| (error, None);
        let mut uri: Uri = url
            .parse()
            .map_err(|_| fail(FetchError::Answer(format!("'{url}' is no address"))))?;
        for _ in 0..=self.config.redirects {
            self.go_on().map_err(fail)?;
            self.config.allows(&uri).map_err(fail)?;
            progress(Progress::Asking {
                host: uri.host().unwrap_or("?").to_owned(),
                attempt,
            });
            let mut request = self.agent.get(uri.clone());
            if let Some(etag) = condition.etag {
                request = request.header("If-None-Match", etag);
            }
            if let Some(date) = condition.last_modified {
                request = request.header("If-Modified-Since", date);
            }
            let response = request
                .call()
                .map_err(|e| fail(FetchError::Network(e.to_string())))?;
            let status = response.status().as_u16();
            let (parts, body) = response.into_parts();
            match status {
                200 | 203 => {
                    let body = self.body(body.into_reader(), progress).map_err(fail)?;
                    return Ok(Reply::Document(Document {
                        body,
                        etag: header(&parts.headers, "etag"),
                        last_modified: header(&parts.headers, "last-modified"),
                        url: uri.to_string(),
                    }));
                }
                304 if condition.etag.is_some() || condition.last_modified.is_some() => {
                    return Ok(Reply::NotModified);
                }
                301 | 302 | 303 | 307 | 308 => {
                    let to = header(&parts.headers, "location").ok_or_else(|| {
                        fail(FetchError::Answer(
                            "a redirect without an address".to_owned(),
                        ))
                    })?;
                    uri = resolve(&uri, &to)
                        .ok_or_else(|| fail(FetchError::Answer(format!("a redirect to '{to}'"))))?;
                }
                422 => {
                    let mut words = String::new();
                    let _ = body.into_reader().take(2000).read_to_string(&mut words);
                    let words = crate::store::weather::shown_long(&words);
                    return Err(fail(FetchError::Refused(status, words)));
                }
                _ => return Err((FetchError::Status(status), retry_after(&parts.headers))),
            }
        }
        Err(fail(FetchError::TooManyRedirects(self.config.redirects)))
    }

    fn body(
        &self,
        mut reader: impl Read,
        progress: &mut dyn FnMut(Progress),
    ) -> Result<Vec<u8>, FetchError> {
        let mut body = Vec::new();
        let mut piece = vec![0; 1 << 16];
        loop {
            self.go_on()?;
            let read = reader
                .read(&mut piece)
                .map_err(|e| FetchError::Network(e.to_string()))?;
            let Some(bytes) = piece.get(..read).filter(|b| !b.is_empty()) else {
                return Ok(body);
            };
            body.extend_from_slice(bytes);
            if body.len() as u64 > self.config.most_bytes {
                return Err(FetchError::TooLarge(self.config.most_bytes));
            }
            progress(Progress::Reading {
                bytes: body.len() as u64,
            });
        }
    }
}

fn header(headers: &HeaderMap, name: &str) -> Option<String> {
    // What is sent back in a later request must be plain; anything longer is no validator.
    headers
        .get(name)
        .and_then(|v| v.to_str().ok())
        .filter(|v| v.len() <= 1024)
        .map(str::to_owned)
}

fn retry_after(headers: &HeaderMap) -> Option<Duration> {
    header(headers, "retry-after")?
        .trim()
        .parse()
        .ok()
        .map(Duration::from_secs)
}

/// The address a redirect leads to: whole, or a path on the same host.
fn resolve(from: &Uri, to: &str) -> Option<Uri> {
    if to.starts_with('/') && !to.starts_with("//") {
        let authority = from.authority()?;
        return format!("{}://{authority}{to}", from.scheme_str()?)
            .parse()
            .ok();
    }
    let uri: Uri = to.parse().ok()?;
    uri.host().is_some().then_some(uri)
}
