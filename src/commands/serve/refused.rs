//! Requests that are refused: a status, a stable word and a sentence, as JSON.

use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use serde_json::json;

/// Why a request is refused.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Refused {
    /// The status of the answer.
    pub status: StatusCode,
    /// A stable word for programs.
    pub code: &'static str,
    /// A sentence for people.
    pub words: String,
}

impl Refused {
    /// A refusal.
    pub fn new(status: StatusCode, code: &'static str, words: impl Into<String>) -> Self {
        Refused {
            status,
            code,
            words: words.into(),
        }
    }

    /// Every solver is at work and enough requests wait already.
    pub fn busy() -> Self {
        let words = "too many questions wait already; ask again in a moment";
        Refused::new(StatusCode::SERVICE_UNAVAILABLE, "busy", words)
    }

    /// The server ends.
    pub fn closing() -> Self {
        let words = "this server is ending";
        Refused::new(StatusCode::SERVICE_UNAVAILABLE, "closing", words)
    }

    /// A mistake of this tool.
    pub fn internal(words: impl std::fmt::Display) -> Self {
        let words = format!("internal fault: {words}; please report it");
        Refused::new(StatusCode::INTERNAL_SERVER_ERROR, "internal-fault", words)
    }
}

impl IntoResponse for Refused {
    fn into_response(self) -> Response {
        let body = json!({"error": {"code": self.code, "message": self.words}});
        let kind = [(header::CONTENT_TYPE, "application/json")];
        (self.status, kind, format!("{body}\n")).into_response()
    }
}
