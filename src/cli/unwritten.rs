//! How a folder stands that was not written as asked.

use std::fmt;
use std::path::PathBuf;

use layfigure::Error;

/// How a folder stands after something went wrong.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum State {
    /// There was none, and there is none.
    Nothing,
    /// It holds no form, and what it holds was not touched.
    Untouched(PathBuf),
    /// The form that was there is whole.
    Old(PathBuf),
    /// Files of two forms stand side by side.
    Half(PathBuf),
    /// The new form is there, whole.
    New(PathBuf),
}

impl fmt::Display for State {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Nothing => write!(f, "nothing was written"),
            Self::Untouched(dir) => {
                write!(f, "nothing was written, `{}` is as it was", dir.display())
            }
            Self::Old(dir) => write!(
                f,
                "the form that was in `{}` is whole, as it was",
                dir.display()
            ),
            Self::Half(dir) => write!(
                f,
                "`{}` is half replaced, with files of two forms side by side: cut nothing from it before \
                 it is built again",
                dir.display()
            ),
            Self::New(dir) => write!(f, "the new form is whole in `{}`", dir.display()),
        }
    }
}

/// Why a folder was not written, and how it stands.
#[derive(Debug)]
pub(crate) struct Unwritten {
    pub(crate) error: Error,
    pub(crate) state: State,
}
