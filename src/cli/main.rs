//! The program: parses the command line, runs it, prints what went wrong, chooses the exit code.

mod args;
mod build;
mod check;
mod compare;
mod folder;
mod input;
mod messages;
mod new;
mod plan;
mod profiles;
mod save;
mod say;
mod tape;

use std::io;
use std::process::ExitCode;

use clap::{CommandFactory, Parser};
use layfigure::Error;

use args::{Cli, Command};

/// How a command ended; each is an exit code, the gravest wins.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Outcome {
    /// Done.
    Done = 0,
    /// The sheet or the request is refused, or the girth check fails.
    Refused = 1,
    /// Wrong usage, or a file cannot be read or written.
    Trouble = 2,
}

/// What stops a command.
#[derive(Debug)]
pub(crate) enum Stop {
    /// An error of the library or of a file.
    Error(Error),
    /// Standard output cannot take more.
    Output(io::Error),
}

impl From<Error> for Stop {
    fn from(e: Error) -> Self {
        Self::Error(e)
    }
}

impl From<io::Error> for Stop {
    fn from(e: io::Error) -> Self {
        Self::Output(e)
    }
}

fn main() -> ExitCode {
    let cli = Cli::parse();
    let writes = cli.command.writes();
    let outcome = match run(cli.command) {
        Ok(outcome) => outcome,
        // Whoever read the output has had enough of it: nothing is wrong.
        Err(Stop::Output(e)) if e.kind() == io::ErrorKind::BrokenPipe => Outcome::Done,
        Err(Stop::Output(e)) => {
            say::trouble(&format!("cannot write to standard output: {e}"));
            Outcome::Trouble
        }
        Err(Stop::Error(e)) => say::error(&e, writes),
    };
    ExitCode::from(outcome as u8)
}

fn run(command: Command) -> Result<Outcome, Stop> {
    match command {
        Command::Build(args) => build::run(&args),
        Command::Plan(args) => plan::run(&args),
        Command::Check(args) => check::run(&args),
        Command::Tape(args) => tape::run(&args),
        Command::Compare(args) => compare::run(&args),
        Command::Profiles(args) => profiles::run(&args),
        Command::New(args) => new::run(&args),
        Command::Completions { shell } => {
            let Some(shell) = shell else {
                return Err(Stop::Error(Error::Request(
                    "for which shell? Name bash, elvish, fish, powershell or zsh: `layfigure \
                     completions bash`"
                        .to_owned(),
                )));
            };
            let mut text = Vec::new();
            clap_complete::generate(shell, &mut Cli::command(), "layfigure", &mut text);
            say::bytes(&text)?;
            Ok(Outcome::Done)
        }
        Command::Man { command } => manual(command.as_deref()),
        Command::Licences => {
            let font = layfigure::drawing::FONT_LICENCE;
            say::text(&format!(
                "{LICENCE}\n{RULE}\nThe letters in the drawings, Noto Sans:\n\n{font}\n{RULE}\n\
                 Libraries in the program, each with its licence; their texts come with their \
                 sources:\n\n{LIBRARIES}"
            ))?;
            Ok(Outcome::Done)
        }
    }
}

/// The program's own licence.
const LICENCE: &str = include_str!("../../LICENSE");
/// The libraries in the program: `cargo tree -e normal --prefix none -f "{p} {l}"`, each once.
const LIBRARIES: &str = include_str!("libraries.txt");
const RULE: &str =
    "--------------------------------------------------------------------------------";

/// Prints the manual page of the program, or that of one command.
fn manual(name: Option<&str>) -> Result<Outcome, Stop> {
    let mut cli = Cli::command();
    cli.build();
    let page = match name {
        None => cli,
        Some(name) => match cli.find_subcommand(name) {
            Some(command) => command.clone(),
            None => {
                let all: Vec<&str> = cli.get_subcommands().map(clap::Command::get_name).collect();
                return Err(Stop::Error(Error::Request(format!(
                    "there is no command `{name}` with a manual page: name one of {}, or none for the \
                     page of the program",
                    all.join(", ")
                ))));
            }
        },
    };
    let mut text = Vec::new();
    clap_mangen::Man::new(page).render(&mut text)?;
    say::bytes(&text)?;
    Ok(Outcome::Done)
}
