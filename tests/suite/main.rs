//! One test binary; a line per module says what it holds.
