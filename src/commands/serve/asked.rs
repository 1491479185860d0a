//! What a request asks: the state of the page, read and bounded.

use std::time::Duration;

use axum::body::Body;
use axum::http::{Request, StatusCode, header};
use http_body_util::{BodyExt, LengthLimitError, Limited};
use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};

use super::refused::Refused;

/// Bytes of a body at most.
pub(super) const MOST_BODY: usize = 64 * 1024;
/// Numbers changed at a time at most.
const MOST_SETTINGS: usize = 64;
/// Bytes of an address, a value or a name at most.
const MOST_WORDS: usize = 1024;
/// How long a body may take to arrive.
const PATIENCE: Duration = Duration::from_secs(10);

/// A state of the page: a variant and the numbers changed in it.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Asked {
    /// The variant, by name; left out, the design as it stands.
    #[serde(default)]
    pub variant: Option<String>,
    /// Texts `ADDRESS=VALUE`, in order.
    #[serde(default, rename = "set")]
    pub settings: Vec<String>,
}

/// A study of a state of the page.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct AskedStudy {
    /// The state.
    #[serde(default)]
    pub state: Asked,
    /// What is asked of it.
    pub study: Question,
}

/// The studies of the page.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(
    deny_unknown_fields,
    rename_all = "kebab-case",
    rename_all_fields = "kebab-case"
)]
pub(super) enum Question {
    /// Where the lightest switches, over the range of a slider.
    BreakEven {
        /// The number that moves.
        over: String,
        /// Values at most.
        values: u16,
    },
    /// Which numbers move the answer most.
    Sensitivity {},
}

impl Asked {
    /// Within bounds.
    pub fn checked(self) -> Result<Self, Refused> {
        let refuse = |words: String| {
            Err(Refused::new(
                StatusCode::UNPROCESSABLE_ENTITY,
                "too-much",
                words,
            ))
        };
        if self.settings.len() > MOST_SETTINGS {
            return refuse(format!(
                "{} numbers are changed; at most {MOST_SETTINGS} can be",
                self.settings.len()
            ));
        }
        let words = self.settings.iter().chain(&self.variant);
        match words.map(String::len).max() {
            Some(longest) if longest > MOST_WORDS => refuse(format!(
                "a text of {longest} bytes; at most {MOST_WORDS} are taken"
            )),
            _ => Ok(self),
        }
    }
}

/// Reads a JSON body.
pub(super) async fn json<T: DeserializeOwned>(request: Request<Body>) -> Result<T, Refused> {
    let kind = request.headers().get(header::CONTENT_TYPE);
    let kind = kind.and_then(|kind| kind.to_str().ok()).unwrap_or("");
    let essence = kind.split(';').next().unwrap_or("").trim();
    if !essence.eq_ignore_ascii_case("application/json") {
        return Err(Refused::new(
            StatusCode::UNSUPPORTED_MEDIA_TYPE,
            "content-type",
            "send the question as application/json",
        ));
    }
    let body = Limited::new(request.into_body(), MOST_BODY).collect();
    let body = match tokio::time::timeout(PATIENCE, body).await {
        Err(_) => {
            return Err(Refused::new(
                StatusCode::REQUEST_TIMEOUT,
                "slow-body",
                "the question did not arrive in time",
            ));
        }
        Ok(Err(error)) if error.is::<LengthLimitError>() => {
            return Err(Refused::new(
                StatusCode::PAYLOAD_TOO_LARGE,
                "too-large",
                format!("a question has at most {MOST_BODY} bytes"),
            ));
        }
        Ok(Err(error)) => {
            return Err(Refused::new(
                StatusCode::BAD_REQUEST,
                "broken-body",
                format!("the question did not arrive whole: {error}"),
            ));
        }
        Ok(Ok(body)) => body.to_bytes(),
    };
    serde_json::from_slice(&body).map_err(|error| {
        Refused::new(
            StatusCode::BAD_REQUEST,
            "malformed",
            format!("the question cannot be read: {error}"),
        )
    })
}

/// Reads a state from the query of an address: `variant=NAME&set=ADDRESS=VALUE`.
pub(super) fn query(query: &str) -> Result<Asked, Refused> {
    let mut asked = Asked::default();
    for pair in query.split('&').filter(|pair| !pair.is_empty()) {
        let (key, value) = pair.split_once('=').unwrap_or((pair, ""));
        match (key, decoded(value)) {
            ("variant", Some(name)) => asked.variant = Some(name),
            ("set", Some(text)) => asked.settings.push(text),
            _ => {
                return Err(Refused::new(
                    StatusCode::BAD_REQUEST,
                    "malformed",
                    format!("{pair} is neither variant=NAME nor set=ADDRESS=VALUE"),
                ));
            }
        }
    }
    asked.checked()
}

/// Text as a form writes it: `+` for a space, `%` and two digits for a byte.
fn decoded(text: &str) -> Option<String> {
    let mut bytes = Vec::with_capacity(text.len());
    let mut rest = text.bytes();
    while let Some(byte) = rest.next() {
        bytes.push(match byte {
            b'+' => b' ',
            b'%' => {
                let digit = |byte: u8| char::from(byte).to_digit(16);
                let byte = digit(rest.next()?)? * 16 + digit(rest.next()?)?;
                u8::try_from(byte).ok()?
            }
            other => other,
        });
    }
    String::from_utf8(bytes).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_query_is_a_state() {
        let asked = query("variant=dusty+ridge&set=a.b%3D120%20kg&set=c%3D%C2%B0").unwrap();
        assert_eq!(asked.variant.as_deref(), Some("dusty ridge"));
        assert_eq!(asked.settings, ["a.b=120 kg", "c=°"]);
        assert_eq!(query("").unwrap(), Asked::default());
        for bad in ["sett=x", "set=%zz", "set=%4", "set=%ff", "set=%+4"] {
            assert_eq!(query(bad).unwrap_err().code, "malformed", "{bad}");
        }
    }

    #[test]
    fn states_are_bounded() {
        let many = Asked {
            settings: vec!["a=1".to_owned(); MOST_SETTINGS + 1],
            ..Asked::default()
        };
        assert_eq!(many.checked().unwrap_err().code, "too-much");
        let long = Asked {
            variant: Some("x".repeat(MOST_WORDS + 1)),
            ..Asked::default()
        };
        assert_eq!(long.checked().unwrap_err().code, "too-much");
    }
}
