//! What the engine answers.

use layfigure::Error;
use layfigure::Finding;
use layfigure::say::json;
use serde_json::{Map, Value, json};

/// An answer.
#[derive(Clone, Debug)]
pub struct EngineReply {
    /// An object with `ok`; a refusal has `findings`.
    pub value: Value,
    /// What is too large for words: a solid, a file.
    pub bytes: Vec<u8>,
}

impl EngineReply {
    /// The object as text.
    #[must_use]
    pub fn text(&self) -> String {
        self.value.to_string()
    }

    /// An answer of these fields, after `ok`.
    pub(crate) fn of(fields: Value) -> Self {
        Self::with(fields, Vec::new())
    }

    /// The same with bytes.
    pub(crate) fn with(fields: Value, bytes: Vec<u8>) -> Self {
        let mut all = Map::new();
        all.insert("ok".into(), true.into());
        if let Value::Object(fields) = fields {
            all.extend(fields);
        }
        Self {
            value: Value::Object(all),
            bytes,
        }
    }

    /// Why there is none, every reason.
    pub(crate) fn refused(findings: &[Finding]) -> Self {
        Self {
            value: json!({ "ok": false, "findings": json::findings(findings) }),
            bytes: Vec::new(),
        }
    }

    /// The request was not understood: a slip of whoever wrote the page, no fault of the person's.
    pub(crate) fn misasked(words: &str) -> Self {
        Self {
            value: json!({ "ok": false, "findings": [], "misasked": words }),
            bytes: Vec::new(),
        }
    }
}

impl From<Error> for EngineReply {
    fn from(e: Error) -> Self {
        Self::refused(e.findings())
    }
}
