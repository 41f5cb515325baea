//! Folders that builds of two bodies go into: what stands in them, what is hidden beside them, and builds
//! that are killed or cramped.
#![cfg(unix)]

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::process::{Child, Command, Output, Stdio};

use crate::program::{self, SHEET, files, quick_bench};

/// Names in a folder, hidden ones too.
pub(crate) fn names(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder).unwrap().flatten();
    let mut all: Vec<String> = entries
        .map(|e| e.file_name().to_string_lossy().into_owned())
        .collect();
    all.sort();
    all
}

/// What a build hides while it writes.
pub(crate) fn hidden(folder: &Path) -> Vec<String> {
    let mut all = names(folder);
    all.retain(|n| n.contains(".part-"));
    all
}

/// Files below a folder but those in hidden places.
pub(crate) fn seen(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut all = files(folder);
    all.retain(|name, _| !name.contains(".part-"));
    all
}

/// Fingerprint, size and name of a file as the list has them: FNV-1a, 64 bits, from its published
/// constants.
fn line(name: &str, bytes: &[u8]) -> String {
    let print = bytes.iter().fold(0xcbf2_9ce4_8422_2325_u64, |h, b| {
        (h ^ u64::from(*b)).wrapping_mul(0x0000_0100_0000_01b3)
    });
    format!("{print:016x} {} {name}", bytes.len())
}

/// Whether the list knows every file of the folder but `own`, each as it is, and says nothing of being
/// replaced.
pub(crate) fn whole(folder: &Path, own: &[&str]) -> bool {
    let mut all = seen(folder);
    let Some(list) = all.remove("files.txt") else {
        return false;
    };
    all.retain(|name, _| !own.contains(&name.as_str()));
    let list = String::from_utf8(list).unwrap();
    let listed: Vec<&str> = list.lines().filter(|l| !l.starts_with('#')).collect();
    let there: Vec<String> = all.iter().map(|(name, b)| line(name, b)).collect();
    !list.contains("being replaced") && listed == there
}

/// The two sheets of which a folder may hold one, and how many boards tell them apart.
pub(crate) fn two_bodies() -> tempfile::TempDir {
    let dir = quick_bench();
    let other = SHEET.replace("96.0", "104.0").replace("170.0", "176.0");
    assert_ne!(other, SHEET);
    fs::write(dir.path().join("other.toml"), other).unwrap();
    dir
}

/// A build into `folder` with little searching.
pub(crate) fn command(dir: &Path, sheet: &str, folder: &str) -> Command {
    let mut command = Command::new(program::BINARY);
    command
        .args(["build", sheet, "--workshop", "room.toml", "--tries", "1"])
        .args(["--quiet", "-o", folder])
        .current_dir(dir)
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::piped());
    command
}

pub(crate) fn run(dir: &Path, sheet: &str, folder: &str) -> Output {
    command(dir, sheet, folder).output().unwrap()
}

/// A build whose files may not grow beyond `blocks` of 512 or 1024 bytes.
pub(crate) fn cramped(dir: &Path, sheet: &str, folder: &str, blocks: u32) -> Output {
    let inner = command(dir, sheet, folder);
    let limit = format!("trap '' XFSZ; ulimit -c 0; ulimit -f {blocks}; exec \"$@\"");
    let mut outer = Command::new("sh");
    outer.args(["-c", &limit, "sh"]).arg(inner.get_program());
    outer.args(inner.get_args()).current_dir(dir);
    outer.output().unwrap()
}

pub(crate) fn stderr(out: &Output) -> String {
    String::from_utf8_lossy(&out.stderr).into_owned()
}

pub(crate) fn kill(child: &mut Child) {
    child.kill().unwrap();
    child.wait().unwrap();
}
