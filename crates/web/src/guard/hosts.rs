//! The names under which this page may be asked for, and where changes may come from.

use std::net::SocketAddr;

/// Names of this page.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Hosts {
    scheme: &'static str,
    allowed: Vec<String>,
}

impl Hosts {
    /// Names for a page on this machine alone.
    pub fn loopback(port: u16) -> Self {
        let allowed = ["127.0.0.1", "localhost", "[::1]"].map(|host| format!("{host}:{port}"));
        Self { scheme: "http", allowed: allowed.to_vec() }
    }

    /// Names for a page that others reach over HTTPS: the address listened on and what the shop calls it.
    pub fn beyond(listen: SocketAddr, names: &[String]) -> Self {
        let port = listen.port();
        let mut allowed = vec![format!("127.0.0.1:{port}"), format!("localhost:{port}"), format!("[::1]:{port}")];
        if !listen.ip().is_unspecified() {
            allowed.push(listen.to_string());
        }
        for name in names {
            let name = name.trim().to_lowercase();
            if port == 443 {
                allowed.push(name.clone());
            }
            allowed.push(format!("{name}:{port}"));
        }
        Self { scheme: "https", allowed }
    }

    /// Whether the page is served over HTTPS.
    pub fn secure(&self) -> bool {
        self.scheme == "https"
    }

    /// The name by which the page is best called.
    pub fn first(&self) -> &str {
        // Beyond loopback the shop's own names come last.
        let named = if self.secure() { self.allowed.last() } else { self.allowed.first() };
        named.map_or("", String::as_str)
    }

    /// Whether a request's `Host` is one of ours.
    pub fn knows(&self, host: Option<&str>) -> bool {
        host.is_some_and(|host| self.allowed.iter().any(|known| known.eq_ignore_ascii_case(host)))
    }

    /// Whether a change's `Origin` is one of our own pages. A missing one is not.
    pub fn own_origin(&self, origin: Option<&str>) -> bool {
        let host = origin.and_then(|origin| origin.strip_prefix(self.scheme)).and_then(|rest| rest.strip_prefix("://"));
        self.knows(host)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn strangers_names_are_not_ours() {
        let hosts = Hosts::loopback(7180);
        for (host, ours) in [
            (Some("127.0.0.1:7180"), true),
            (Some("LOCALHOST:7180"), true),
            (Some("[::1]:7180"), true),
            (Some("127.0.0.1"), false),
            (Some("127.0.0.1:7181"), false),
            (Some("stranger.example:7180"), false),
            (Some("localhost.stranger.example:7180"), false),
            (None, false),
        ] {
            assert_eq!(hosts.knows(host), ours, "{host:?}");
        }
        for (origin, ours) in [
            (Some("http://127.0.0.1:7180"), true),
            (Some("https://127.0.0.1:7180"), false),
            (Some("null"), false),
            (Some("http://stranger.example"), false),
            (None, false),
        ] {
            assert_eq!(hosts.own_origin(origin), ours, "{origin:?}");
        }
        let beyond = Hosts::beyond("192.0.2.7:8443".parse().expect("an address"), &["Press.example".to_owned()]);
        assert!(beyond.knows(Some("press.example:8443")) && beyond.knows(Some("192.0.2.7:8443")));
        assert!(
            beyond.own_origin(Some("https://press.example:8443"))
                && !beyond.own_origin(Some("http://press.example:8443"))
        );
    }
}
