//! Whom to ask, and how.

use std::net::IpAddr;
use std::time::Duration;

use thiserror::Error;
use ureq::http::Uri;

use super::FetchError;

/// Which service is asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Service {
    /// The US national weather service: the United States and their waters.
    UsNational,
    /// The Norwegian national weather service: anywhere on earth.
    Norwegian,
}

impl Service {
    /// The word in a configuration and in the name of what is kept.
    pub fn key(self) -> &'static str {
        match self {
            Self::UsNational => "us",
            Self::Norwegian => "norway",
        }
    }

    /// Reads the word in a configuration.
    pub fn from_key(text: &str) -> Option<Self> {
        [Self::UsNational, Self::Norwegian]
            .into_iter()
            .find(|s| s.key() == text.trim().to_lowercase())
    }

    /// The address it is published under.
    pub fn base_url(self) -> &'static str {
        match self {
            Self::UsNational => "https://api.weather.gov",
            Self::Norwegian => "https://api.met.no",
        }
    }
}

/// Where on earth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place {
    /// Degrees north.
    pub latitude: f64,
    /// Degrees east.
    pub longitude: f64,
    /// Height above the sea, m.
    pub elevation_m: Option<f64>,
}

/// Whom to ask, and how.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FetchConfig {
    /// Which service.
    pub service: Service,
    /// Its address; without TLS only if it is the loopback address.
    pub base_url: String,
    /// How the program names itself. Both services ask for a name and a way to reach its user.
    pub user_agent: String,
    /// Longest time to connect.
    pub connect_timeout: Duration,
    /// Longest time for one request with its answer.
    pub total_timeout: Duration,
    /// Largest answer, bytes, after unpacking.
    pub most_bytes: u64,
    /// Attempts for one request.
    pub attempts: u32,
    /// Pause before the second attempt; doubled each time, a minute at most.
    pub pause: Duration,
    /// Redirects followed.
    pub redirects: u32,
    /// A certificate (DER or PEM) trusted in place of the usual ones: for a server of one's own.
    pub own_certificate: Option<Vec<u8>>,
}

/// Why a configuration cannot be used.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum ConfigError {
    /// The address is none.
    #[error("'{0}' is not an address; write for instance https://service.example")]
    NotAnAddress(String),
    /// The address has no TLS and is not the loopback address.
    #[error("'{0}' has no TLS; write an address that begins with https://")]
    NoTls(String),
    /// The place is not on earth.
    #[error("latitude {0}, longitude {1} is not a place on earth")]
    NoPlace(String, String),
    /// The name of the program is empty or cannot be sent.
    #[error("the user agent is empty or holds characters that cannot be sent")]
    NoUserAgent,
}

impl FetchConfig {
    /// A service at its published address, with the limits this program uses.
    pub fn of(service: Service, contact: &str) -> Self {
        let contact = contact.trim();
        let about = if contact.is_empty() {
            String::new()
        } else {
            format!(" ({contact})")
        };
        Self {
            service,
            base_url: service.base_url().to_owned(),
            user_agent: format!("barewood/{}{about}", env!("CARGO_PKG_VERSION")),
            connect_timeout: Duration::from_secs(10),
            total_timeout: Duration::from_secs(30),
            most_bytes: 8 << 20,
            attempts: 4,
            pause: Duration::from_secs(1),
            redirects: 3,
            own_certificate: None,
        }
    }

    /// Can it be used?
    ///
    /// # Errors
    /// When address or user agent cannot.
    pub fn check(&self) -> Result<(), ConfigError> {
        let uri: Uri = self
            .base_url
            .parse()
            .map_err(|_| ConfigError::NotAnAddress(self.base_url.clone()))?;
        let host = uri
            .host()
            .ok_or_else(|| ConfigError::NotAnAddress(self.base_url.clone()))?;
        let tls = uri.scheme_str() == Some("https");
        let plain_here = uri.scheme_str() == Some("http") && is_loopback(host);
        if !tls && !plain_here {
            return Err(ConfigError::NoTls(self.base_url.clone()));
        }
        let agent_fits = !self.user_agent.trim().is_empty()
            && self.user_agent.chars().all(|c| (' '..='~').contains(&c));
        if agent_fits {
            Ok(())
        } else {
            Err(ConfigError::NoUserAgent)
        }
    }

    /// May this address be asked: same host and port as configured, same scheme?
    pub(super) fn allows(&self, uri: &Uri) -> Result<(), FetchError> {
        let own: Uri = self
            .base_url
            .parse()
            .map_err(|_| ConfigError::NotAnAddress(self.base_url.clone()))?;
        if uri.host() != own.host() || uri.port_u16() != own.port_u16() {
            return Err(FetchError::ForeignHost(
                uri.host().unwrap_or("?").to_owned(),
            ));
        }
        if uri.scheme_str() != own.scheme_str() {
            return Err(FetchError::NoTls(uri.to_string()));
        }
        Ok(())
    }

    /// Is everything over TLS?
    pub(super) fn tls_only(&self) -> bool {
        self.base_url.starts_with("https://")
    }
}

fn is_loopback(host: &str) -> bool {
    let bare = host.trim_start_matches('[').trim_end_matches(']');
    bare.parse::<IpAddr>().is_ok_and(|ip| ip.is_loopback())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn with(base_url: &str) -> FetchConfig {
        FetchConfig {
            base_url: base_url.to_owned(),
            ..FetchConfig::of(Service::UsNational, "grower at example")
        }
    }

    #[test]
    fn only_tls_or_the_loopback_address_will_do() {
        assert_eq!(FetchConfig::of(Service::Norwegian, "me").check(), Ok(()));
        assert_eq!(with("http://127.0.0.1:8080").check(), Ok(()));
        assert_eq!(with("http://[::1]:8080").check(), Ok(()));
        for plain in [
            "http://service.example",
            "http://localhost",
            "http://127.0.0.1.example",
            "ftp://127.0.0.1",
        ] {
            assert!(
                matches!(with(plain).check(), Err(ConfigError::NoTls(_))),
                "{plain}"
            );
        }
        for none in ["", "service", "/points"] {
            assert!(with(none).check().is_err(), "{none}");
        }
        let mut config = with("https://service.example");
        config.user_agent = "a\r\nHost: b".to_owned();
        assert_eq!(config.check(), Err(ConfigError::NoUserAgent));
    }

    #[test]
    fn no_other_host_is_asked() {
        let config = with("https://service.example");
        let allowed = |url: &str| config.allows(&url.parse().unwrap()).is_ok();
        assert!(allowed("https://service.example/points/1,2"));
        for foreign in [
            "https://service.example.other/",
            "https://other.example/",
            "http://service.example/",
            "https://service.example:8443/",
        ] {
            assert!(!allowed(foreign), "{foreign}");
        }
    }
}
