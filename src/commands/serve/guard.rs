//! Who may ask: pages of this server itself, by an address that is its own. A name that
//! someone else points at this machine, or a page of another origin, is refused.

use std::net::{IpAddr, SocketAddr};

use axum::http::{HeaderMap, HeaderName, HeaderValue, StatusCode, header};

use super::refused::Refused;

/// What the browser may do with everything from here: nothing from elsewhere.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; \
    img-src data:; connect-src 'self'; base-uri 'none'; form-action 'none'; \
    frame-ancestors 'none'";

/// Who may ask.
#[derive(Clone, Copy, Debug)]
pub(super) struct Guard {
    /// Where the server listens.
    pub bound: SocketAddr,
}

impl Guard {
    /// Checks where a request believes to go and where it comes from.
    pub fn admit(self, headers: &HeaderMap) -> Result<(), Refused> {
        let mut hosts = headers.get_all(header::HOST).iter();
        let host = hosts.next().and_then(|host| host.to_str().ok());
        let Some(host) = host.filter(|host| hosts.next().is_none() && self.is_own(host)) else {
            return Err(Refused::new(
                StatusCode::MISDIRECTED_REQUEST,
                "foreign-host",
                format!(
                    "this server answers to its own address only: http://{}/",
                    self.bound
                ),
            ));
        };
        let foreign = |what: &str| {
            let words = format!("{what}; open http://{}/ itself", self.bound);
            Err(Refused::new(StatusCode::FORBIDDEN, "foreign-origin", words))
        };
        if let Some(origin) = headers.get(header::ORIGIN) {
            let own = format!("http://{host}");
            if !origin.as_bytes().eq_ignore_ascii_case(own.as_bytes()) {
                return foreign("another page asks");
            }
        }
        let site = headers.get("sec-fetch-site").map(HeaderValue::as_bytes);
        let mode = headers.get("sec-fetch-mode").map(HeaderValue::as_bytes);
        match (site, mode) {
            // A link elsewhere may lead here; anything else from there may not.
            (Some(b"cross-site" | b"same-site"), mode) if mode != Some(b"navigate") => {
                foreign("a page of another site asks")
            }
            _ => Ok(()),
        }
    }

    fn is_own(self, host: &str) -> bool {
        let (name, port) = match host.rsplit_once(':') {
            Some((name, port)) if !port.ends_with(']') => (name, port.parse::<u16>().ok()),
            _ => (host, Some(80)),
        };
        if port != Some(self.bound.port()) {
            return false;
        }
        let name = name.trim_start_matches('[').trim_end_matches(']');
        let address = name.parse::<IpAddr>().ok();
        match self.bound.ip().is_loopback() {
            true => {
                name.eq_ignore_ascii_case("localhost")
                    || address.is_some_and(|address| address.is_loopback())
            }
            // No name server can point a bare address elsewhere.
            false => name.eq_ignore_ascii_case("localhost") || address.is_some(),
        }
    }
}

/// Headers of every answer.
pub(super) fn headers() -> [(HeaderName, HeaderValue); 6] {
    let value = HeaderValue::from_static;
    [
        (header::CONTENT_SECURITY_POLICY, value(POLICY)),
        (header::X_CONTENT_TYPE_OPTIONS, value("nosniff")),
        (header::REFERRER_POLICY, value("no-referrer")),
        (header::CACHE_CONTROL, value("no-store")),
        (
            HeaderName::from_static("cross-origin-opener-policy"),
            value("same-origin"),
        ),
        (
            HeaderName::from_static("cross-origin-resource-policy"),
            value("same-origin"),
        ),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn admitted(bound: &str, pairs: &[(&'static str, &str)]) -> Result<(), &'static str> {
        let mut headers = HeaderMap::new();
        for (name, value) in pairs {
            headers.append(*name, HeaderValue::from_str(value).unwrap());
        }
        let guard = Guard {
            bound: bound.parse().unwrap(),
        };
        guard.admit(&headers).map_err(|refused| refused.code)
    }

    #[test]
    fn only_its_own_address_is_a_host() {
        for host in [
            "127.0.0.1:8017",
            "localhost:8017",
            "LocalHost:8017",
            "[::1]:8017",
        ] {
            assert_eq!(
                admitted("127.0.0.1:8017", &[("host", host)]),
                Ok(()),
                "{host}"
            );
        }
        for host in [
            "example.org:8017",
            "127.0.0.1",
            "127.0.0.1:80",
            "localhost.example.org:8017",
            "192.168.0.1:8017",
            "127.0.0.1:8017:8017",
            "127.0.0.1:x",
            "",
        ] {
            let found = admitted("127.0.0.1:8017", &[("host", host)]);
            assert_eq!(found, Err("foreign-host"), "{host}");
        }
        assert_eq!(admitted("127.0.0.1:8017", &[]), Err("foreign-host"));
        let twice = [("host", "127.0.0.1:8017"), ("host", "127.0.0.1:8017")];
        assert_eq!(admitted("127.0.0.1:8017", &twice), Err("foreign-host"));
        // Asked to listen on a network, it still answers to no name.
        assert_eq!(admitted("0.0.0.0:9", &[("host", "10.1.2.3:9")]), Ok(()));
        let named = admitted("0.0.0.0:9", &[("host", "base.example:9")]);
        assert_eq!(named, Err("foreign-host"));
    }

    #[test]
    fn only_its_own_pages_ask() {
        let host = ("host", "127.0.0.1:8017");
        let with = |pair: (&'static str, &str)| admitted("127.0.0.1:8017", &[host, pair]);
        assert_eq!(with(("origin", "http://127.0.0.1:8017")), Ok(()));
        for origin in [
            "http://localhost:8017",
            "https://127.0.0.1:8017",
            "http://example.org",
            "null",
        ] {
            assert_eq!(with(("origin", origin)), Err("foreign-origin"), "{origin}");
        }
        assert_eq!(with(("sec-fetch-site", "same-origin")), Ok(()));
        assert_eq!(with(("sec-fetch-site", "none")), Ok(()));
        let site = with(("sec-fetch-site", "cross-site"));
        assert_eq!(site, Err("foreign-origin"));
    }
}
