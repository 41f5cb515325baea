//! The program: parses the command line, runs it, prints what went wrong, chooses the exit code.

fn main() {}
