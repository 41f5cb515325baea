//! Ctrl-C: the answer to it, and that nothing half-written is left behind.
//!
//! While the program computes, it ends at once. While it writes, the writer is asked to stop: it takes
//! back what it began, or ends the step that cannot be taken back, and only then the program ends. A
//! second Ctrl-C does not wait for that.

use std::io;
use std::io::IsTerminal;
use std::sync::Mutex;
use std::sync::MutexGuard;
use std::sync::PoisonError;

use crate::Outcome;
use crate::say;

struct Halt {
    asked: bool,
    writing: bool,
    words: String,
}

static HALT: Mutex<Halt> = Mutex::new(Halt {
    asked: false,
    writing: false,
    words: String::new(),
});

fn halt() -> MutexGuard<'static, Halt> {
    HALT.lock().unwrap_or_else(PoisonError::into_inner)
}

/// From now on Ctrl-C ends with `words`. Where it is ignored, as in the background of a script, it
/// stays so.
pub(crate) fn watch(words: &str) {
    say_then(words);
    // Without a handler Ctrl-C ends the program without a word; what it leaves is cleared later.
    let _ = ctrlc::try_set_handler(|| {
        let mut now = halt();
        if now.writing && !now.asked {
            now.asked = true;
        } else {
            leave(&now.words);
        }
    });
}

/// What Ctrl-C says from now on.
pub(crate) fn say_then(words: &str) {
    words.clone_into(&mut halt().words);
}

/// Whether somebody wants to stop while something is being written.
pub(crate) fn asked() -> bool {
    halt().asked
}

/// Writes with `write`, which Ctrl-C does not break off; it may look whether it is [`asked`] to.
pub(crate) fn held<T>(write: impl FnOnce() -> T) -> T {
    halt().writing = true;
    let written = write();
    let mut now = halt();
    now.writing = false;
    if now.asked {
        leave(&now.words);
    }
    written
}

fn leave(words: &str) -> ! {
    // Behind the `^C` that a terminal shows.
    let line = if io::stderr().is_terminal() { "\n" } else { "" };
    say::note(&format!("{line}{words}"));
    std::process::exit(Outcome::Stopped as i32)
}
