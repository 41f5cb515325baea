//! What was read and approved stands in files of `tests/messages`; `LAYFIGURE_BLESS=1` writes them again.

use std::fs;
use std::path::{Path, PathBuf};

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/messages")
}

pub(crate) fn approved(name: &str) -> String {
    let path = folder().join(name);
    fs::read_to_string(&path).unwrap_or_default()
}

/// Holds `text` against what was approved under this name, line by line, or approves it.
#[track_caller]
pub(crate) fn same(name: &str, text: &str) {
    if std::env::var_os("LAYFIGURE_BLESS").is_some() {
        let path = folder().join(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, text).unwrap();
        return;
    }
    let then = approved(name);
    let differs = text.lines().zip(then.lines()).position(|(a, b)| a != b);
    let at = differs.unwrap_or_else(|| text.lines().count().min(then.lines().count()));
    let near = |t: &str| -> Vec<String> {
        let lines = t.lines().skip(at.saturating_sub(2)).take(6);
        lines.map(Into::into).collect()
    };
    assert!(
        text == then,
        "{name}, line {}: was\n{:#?}\nis\n{:#?}\n(LAYFIGURE_BLESS=1 approves it)",
        at + 1,
        near(&then),
        near(text)
    );
}
