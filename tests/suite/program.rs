//! The program as it is run from a terminal: arguments, what is typed, exit code, what is printed; and
//! a bench with a sheet and a workshop to run it on.

use std::collections::BTreeMap;
use std::ffi::OsStr;
use std::fs;
use std::io::{Read, Write};
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use std::sync::LazyLock;
use std::thread;
use std::time::{Duration, Instant};

use serde_json::Value;

/// The program that cargo built for these tests.
pub(crate) const BINARY: &str = env!("CARGO_BIN_EXE_layfigure");

/// After this long a run hangs: no test waits for more than a few builds.
const LONGEST: Duration = Duration::from_secs(600);

/// A run that is being prepared.
pub(crate) struct Program {
    command: Command,
    typed: Vec<u8>,
    longest: Duration,
}

/// A run from `folder`.
pub(crate) fn program(folder: &Path) -> Program {
    let mut command = Command::new(BINARY);
    command.current_dir(folder).env_remove("NO_COLOR");
    Program {
        command,
        typed: Vec::new(),
        longest: LONGEST,
    }
}

impl Program {
    pub(crate) fn args<S: AsRef<OsStr>>(mut self, args: impl IntoIterator<Item = S>) -> Self {
        self.command.args(args);
        self
    }

    pub(crate) fn arg(self, arg: impl AsRef<OsStr>) -> Self {
        self.args([arg])
    }

    pub(crate) fn env(mut self, name: &str, value: &str) -> Self {
        self.command.env(name, value);
        self
    }

    /// What stands on standard input, which then ends.
    pub(crate) fn typed(mut self, text: impl Into<Vec<u8>>) -> Self {
        self.typed = text.into();
        self
    }

    /// The test fails when the program is not done by then.
    pub(crate) fn within(mut self, longest: Duration) -> Self {
        self.longest = longest;
        self
    }

    /// Runs it to its end.
    pub(crate) fn run(mut self) -> Run {
        let from = Instant::now();
        let mut child = self
            .command
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        let mut input = child.stdin.take().unwrap();
        let typed = self.typed;
        // A program that does not read to the end is no fault of the writer's.
        thread::spawn(move || drop(input.write_all(&typed)));
        let stdout = gathered(child.stdout.take().unwrap());
        let stderr = gathered(child.stderr.take().unwrap());
        let status = loop {
            if let Some(status) = child.try_wait().unwrap() {
                break status;
            }
            if from.elapsed() > self.longest {
                child.kill().unwrap();
                panic!("{:?} takes longer than {:?}", self.command, self.longest);
            }
            thread::sleep(Duration::from_millis(2));
        };
        Run {
            command: format!("{:?}", self.command),
            output: Output {
                status,
                stdout: stdout.join().unwrap(),
                stderr: stderr.join().unwrap(),
            },
        }
    }
}

fn gathered(mut from: impl Read + Send + 'static) -> thread::JoinHandle<Vec<u8>> {
    thread::spawn(move || {
        let mut all = Vec::new();
        from.read_to_end(&mut all).unwrap();
        all
    })
}

/// A run that has ended.
pub(crate) struct Run {
    command: String,
    output: Output,
}

impl Run {
    #[track_caller]
    pub(crate) fn code(self, code: i32) -> Self {
        let is = self.output.status.code();
        assert_eq!(is, Some(code), "{}: {}", self.command, self.stderr());
        self
    }

    #[track_caller]
    pub(crate) fn success(self) -> Self {
        self.code(0)
    }

    /// Standard output has these words.
    #[track_caller]
    pub(crate) fn prints(self, words: &str) -> Self {
        let out = self.stdout();
        assert!(out.contains(words), "{}: {words}\n{out}", self.command);
        self
    }

    /// Standard error has these words.
    #[track_caller]
    pub(crate) fn says(self, words: &str) -> Self {
        let said = self.stderr();
        assert!(said.contains(words), "{}: {words}\n{said}", self.command);
        self
    }

    /// The JSON on standard output.
    #[track_caller]
    pub(crate) fn json(&self) -> Value {
        serde_json::from_slice(&self.output.stdout).unwrap()
    }

    pub(crate) fn stdout(&self) -> String {
        String::from_utf8(self.output.stdout.clone()).unwrap()
    }

    pub(crate) fn stderr(&self) -> String {
        String::from_utf8(self.output.stderr.clone()).unwrap()
    }

    pub(crate) fn output(&self) -> &Output {
        &self.output
    }

    pub(crate) fn exit(&self) -> Option<i32> {
        self.output.status.code()
    }
}

/// A sheet that agrees with itself, with few values so that it is quick.
pub(crate) const SHEET: &str = r#"
name   = "contralto, act 2"
unit   = "cm"
figure = "woman"
[girth]
bust  = 96.0
waist = 76.8
hip   = 101.9
[length]
back_waist = 37.9
[height]
stature = 170.0
"#;

/// A workshop with thick layers on large stock and paper: few pieces, so that a build is quick.
pub(crate) const WORKSHOP: &str = r#"
[layer]
material = "foam"
thickness = 25.0
density = 30.0
[[stock]]
width = 1200.0
length = 2400.0
[paper]
size = "A1"
"#;

/// A workshop for tests that look at folders and not at what is in them: half size, as few layers as
/// there may be, so that a build takes half of the time again.
const QUICK: &str = r#"
[layer]
material = "foam"
thickness = 50.0
[[stock]]
width = 1200.0
length = 2400.0
[paper]
size = "A3"
[form]
scale = 0.5
"#;

/// What a run with `args` prints on standard output and standard error; it must end with `code`.
#[track_caller]
pub(crate) fn said(folder: &Path, args: &[&str], code: i32) -> (String, String) {
    let run = program(folder).args(args).run().code(code);
    (run.stdout(), run.stderr())
}

/// A folder with the sheet and the workshop.
pub(crate) fn bench() -> tempfile::TempDir {
    let dir = tempfile::tempdir().unwrap();
    fs::write(dir.path().join("sheet.toml"), SHEET).unwrap();
    fs::write(dir.path().join("room.toml"), WORKSHOP).unwrap();
    dir
}

/// The same bench with the quick workshop.
pub(crate) fn quick_bench() -> tempfile::TempDir {
    let dir = bench();
    fs::write(dir.path().join("room.toml"), QUICK).unwrap();
    dir
}

/// The folder of the form of the bench, built once for all tests that only look at it, and what the
/// build printed with `--json`.
pub(crate) fn built() -> &'static (PathBuf, Value) {
    static BUILT: LazyLock<(PathBuf, Value)> = LazyLock::new(|| {
        let place = Path::new(env!("CARGO_TARGET_TMPDIR")).join("bench");
        fs::remove_dir_all(&place).ok();
        fs::create_dir_all(&place).unwrap();
        fs::write(place.join("sheet.toml"), SHEET).unwrap();
        fs::write(place.join("room.toml"), WORKSHOP).unwrap();
        let printed = build(&place, &["--json"]).success().json();
        (place, printed)
    });
    &BUILT
}

/// Builds the form of the bench into `form`.
pub(crate) fn build(folder: &Path, more: &[&str]) -> Run {
    program(folder)
        .args(["build", "sheet.toml", "--workshop", "room.toml"])
        .args(["-o", "form"])
        .args(more)
        .run()
}

/// Every file below `folder` with its bytes.
pub(crate) fn files(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut out = BTreeMap::new();
    let mut waiting = vec![folder.to_path_buf()];
    while let Some(dir) = waiting.pop() {
        for entry in fs::read_dir(&dir).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                waiting.push(path);
            } else {
                let name = path.strip_prefix(folder).unwrap();
                out.insert(name.display().to_string(), fs::read(&path).unwrap());
            }
        }
    }
    out
}
