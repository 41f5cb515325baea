//! The program: parses the command line, runs it, prints what went wrong, chooses the exit code.

mod args;
mod build;
mod check;
mod compare;
mod earlier;
mod facts;
mod halt;
mod input;
mod messages;
mod new;
mod plan;
mod profiles;
mod save;
mod say;
mod tape;
mod unwritten;

use std::io;
use std::process::ExitCode;

use clap::{CommandFactory, Parser};
use layfigure::Error;

use args::{Cli, Command};
use facts::ProgramFact;

/// How a command ended; each is an exit code, the gravest wins.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Outcome {
    /// Done.
    Done = 0,
    /// The sheet or the request is refused, or the girth check fails.
    Refused = 1,
    /// Wrong usage, or a file cannot be read or written.
    Trouble = 2,
    /// Ctrl-C; what a shell expects of it.
    Stopped = 130,
}

/// What stops a command.
#[derive(Debug)]
pub(crate) enum Stop {
    /// An error of the library or of a file.
    Error(Error),
    /// The folder of a form was not written.
    Unwritten(unwritten::Unwritten),
    /// Standard output cannot take more.
    Output(io::Error),
}

impl From<Error> for Stop {
    fn from(e: Error) -> Self {
        Self::Error(e)
    }
}

impl From<unwritten::Unwritten> for Stop {
    fn from(e: unwritten::Unwritten) -> Self {
        Self::Unwritten(e)
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
    halt::watch(if writes {
        "stopped; nothing was written"
    } else {
        "stopped"
    });
    let outcome = match side_by_side(|| run(cli.command)) {
        Ok(outcome) => outcome,
        // Anyone who read the output has had enough of it: nothing is wrong.
        Err(Stop::Output(e)) if e.kind() == io::ErrorKind::BrokenPipe => Outcome::Done,
        Err(Stop::Output(e)) => {
            say::trouble(&say::of_output(&e));
            Outcome::Trouble
        }
        Err(Stop::Unwritten(e)) => say::unwritten(&e),
        Err(Stop::Error(e)) => say::error(&e, writes),
    };
    ExitCode::from(outcome as u8)
}

/// What a thread has for its own, bytes: as the first thread of a program has on most systems.
const STACK: usize = 8 << 20;

/// More threads than this for each core only wait for one another.
const THREADS_A_CORE: usize = 4;

/// Does `work` with as many threads as the machine has, or `RAYON_NUM_THREADS` asks for, and the system
/// lets us have; with none beside this one, if need be.
fn side_by_side<T: Send>(work: impl FnOnce() -> T + Send) -> T {
    let cores = std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
    let asked = std::env::var("RAYON_NUM_THREADS").ok();
    let asked = asked.and_then(|n| n.parse().ok()).filter(|n| *n > 0);
    // Threads that were started in vain give back their memory only when they come to their end: so no
    // more are tried than are of use.
    let most = asked.unwrap_or(cores).min(THREADS_A_CORE * cores);
    let fewer = std::iter::successors(Some(most), |n| Some(n / 2)).take_while(|n| *n > 0);
    for wanted in fewer {
        let pool = rayon::ThreadPoolBuilder::new()
            .num_threads(wanted)
            .stack_size(STACK)
            .build();
        if let Ok(pool) = pool {
            return pool.install(work);
        }
    }
    // Where even that fails, whatever asks for threads will say so.
    let _ = rayon::ThreadPoolBuilder::new()
        .num_threads(1)
        .use_current_thread()
        .build_global();
    work()
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
                return Err(Stop::Error(Error::request(ProgramFact::WhichShell)));
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
                "{LICENCE}\n{RULE}\nThe letters in the drawings, Noto Sans. The file itself names the \
                 Apache License 2.0\n(https://www.apache.org/licenses/LICENSE-2.0), the package that it \
                 comes in the SIL Open\nFont License 1.1, whose text follows.\n\n{font}\n{RULE}\n\
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
                let all = cli.get_subcommands().map(|c| c.get_name().to_owned());
                return Err(Stop::Error(Error::request(ProgramFact::NoManual {
                    command: name.to_owned(),
                    commands: all.collect(),
                })));
            }
        },
    };
    let mut text = Vec::new();
    clap_mangen::Man::new(page).render(&mut text)?;
    say::bytes(&text)?;
    Ok(Outcome::Done)
}
