//! Fetching a forecast: politely, with limits, on its own thread.
//!
//! Only the hosts of the configuration are ever asked, redirects and links in answers included.
//! Everything goes over TLS, except to the loopback address when that is what was configured.

mod cache;
mod config;
pub mod history;
mod http;
mod plan;

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::thread::JoinHandle;

use chrono::{DateTime, TimeDelta, Utc};
use thiserror::Error;

use super::{Forecast, ForecastError};

pub use cache::{Cached, cached};
pub use config::{ConfigError, FetchConfig, Place, Service};

/// How a fetch goes on, for whoever shows it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Progress {
    /// A host is asked, for the n-th time.
    Asking {
        /// The host.
        host: String,
        /// Which attempt, from 1.
        attempt: u32,
    },
    /// So many bytes have come.
    Reading {
        /// Bytes.
        bytes: u64,
    },
    /// It failed and is tried again after a pause.
    Waiting {
        /// Milliseconds of the pause.
        millis: u64,
        /// What failed.
        because: String,
    },
}

/// Where a forecast came from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Origin {
    /// New from the service.
    Fresh,
    /// The service says that the one kept is still the newest.
    Unchanged,
    /// The one kept, because the service could not be reached; with the reason.
    Kept(String),
}

/// A forecast with its age.
#[derive(Debug, Clone, PartialEq)]
pub struct Fetched {
    /// The forecast.
    pub forecast: Forecast,
    /// When its document was received.
    pub received: DateTime<Utc>,
    /// Where it came from.
    pub origin: Origin,
}

impl Fetched {
    /// How old it is: since the service made it, else since it was received.
    pub fn age(&self, now: DateTime<Utc>) -> TimeDelta {
        now - self.forecast.issued.unwrap_or(self.received)
    }
}

/// Why there is no forecast.
#[derive(Debug, Error)]
pub enum FetchError {
    /// The configuration cannot be used.
    #[error(transparent)]
    Config(#[from] ConfigError),
    /// An answer led to a host outside the configuration.
    #[error("the answer leads to '{0}', which the configuration does not name")]
    ForeignHost(String),
    /// An answer led to a place without TLS.
    #[error("the answer leads to '{0}', which has no TLS")]
    NoTls(String),
    /// More redirects than are followed.
    #[error("more than {0} redirects")]
    TooManyRedirects(u32),
    /// The document is over the limit.
    #[error("the answer is over {0} bytes")]
    TooLarge(u64),
    /// The service refuses, with its status.
    #[error("the service answers with status {0}")]
    Status(u16),
    /// The service does not take the question, and says why.
    #[error("the service answers with status {0}: {1}")]
    Refused(u16, String),
    /// The network failed.
    #[error("the service cannot be reached: {0}")]
    Network(String),
    /// The answer cannot be understood.
    #[error("the answer cannot be used: {0}")]
    Answer(String),
    /// The document is not a forecast.
    #[error(transparent)]
    Forecast(#[from] ForecastError),
    /// It was called off.
    #[error("called off")]
    CalledOff,
    /// The thread could not be started, or ended early.
    #[error("the fetch could not run: {0}")]
    Thread(String),
}

impl FetchError {
    /// Is it worth another try?
    fn is_passing(&self) -> bool {
        match self {
            Self::Network(_) => true,
            Self::Status(status) => *status == 429 || *status >= 500,
            _ => false,
        }
    }
}

/// Fetches a forecast for a place, or tells why the one kept has to do. `folder` holds the one
/// kept; `now` is the time noted with a new one.
///
/// # Errors
/// When neither the service nor the folder has a forecast, or the configuration is wrong.
pub fn fetch(
    config: &FetchConfig,
    place: Place,
    folder: &Path,
    now: DateTime<Utc>,
    called_off: &AtomicBool,
    progress: &mut dyn FnMut(Progress),
) -> Result<Fetched, FetchError> {
    config.check()?;
    let kept = cache::load(folder, config, place);
    let asked = plan::ask(config, place, kept.as_ref(), called_off, progress);
    match asked {
        Ok(plan::Answer::NotModified(kept)) => Ok(Fetched {
            forecast: super::read(&kept.document)?,
            received: kept.received,
            origin: Origin::Unchanged,
        }),
        Ok(plan::Answer::New(document)) => {
            // A document that is no forecast never replaces one that is: a page to log in at, sent
            // in its place.
            let forecast = match (super::read(&document.body), kept) {
                (Ok(forecast), _) => forecast,
                (Err(error), None) => return Err(error.into()),
                (Err(error), Some(kept)) => {
                    return Ok(Fetched {
                        forecast: super::read(&kept.document)?,
                        received: kept.received,
                        origin: Origin::Kept(error.to_string()),
                    });
                }
            };
            if let Err(error) = cache::keep(folder, config, place, &document, now) {
                return Ok(Fetched {
                    forecast: Forecast {
                        skipped: [
                            forecast.skipped,
                            vec![format!("it could not be kept: {error}")],
                        ]
                        .concat(),
                        ..forecast
                    },
                    received: now,
                    origin: Origin::Fresh,
                });
            }
            Ok(Fetched {
                forecast,
                received: now,
                origin: Origin::Fresh,
            })
        }
        Err(FetchError::CalledOff) => Err(FetchError::CalledOff),
        Err(error) => match kept {
            Some(kept) => Ok(Fetched {
                forecast: super::read(&kept.document)?,
                received: kept.received,
                origin: Origin::Kept(error.to_string()),
            }),
            None => Err(error),
        },
    }
}

/// A fetch that runs beside the program.
#[derive(Debug)]
pub struct Fetching {
    thread: JoinHandle<Result<Fetched, FetchError>>,
    called_off: Arc<AtomicBool>,
}

impl Fetching {
    /// Has it ended? [`Fetching::finish`] then does not wait.
    pub fn is_finished(&self) -> bool {
        self.thread.is_finished()
    }

    /// Asks it to stop; it does so before its next request and between two pieces of an answer.
    pub fn call_off(&self) {
        self.called_off.store(true, Ordering::Relaxed);
    }

    /// Waits for its end.
    ///
    /// # Errors
    /// As [`fetch`].
    pub fn finish(self) -> Result<Fetched, FetchError> {
        self.thread
            .join()
            .unwrap_or_else(|_| Err(FetchError::Thread("it ended early".to_owned())))
    }
}

/// Starts a fetch on its own thread; `progress` is called there.
///
/// # Errors
/// When no thread can be started.
pub fn start(
    config: FetchConfig,
    place: Place,
    folder: PathBuf,
    now: DateTime<Utc>,
    mut progress: impl FnMut(Progress) + Send + 'static,
) -> Result<Fetching, FetchError> {
    let called_off = Arc::new(AtomicBool::new(false));
    let flag = Arc::clone(&called_off);
    let thread = std::thread::Builder::new()
        .name("forecast".to_owned())
        .spawn(move || fetch(&config, place, &folder, now, &flag, &mut progress))
        .map_err(|e| FetchError::Thread(e.to_string()))?;
    Ok(Fetching { thread, called_off })
}
