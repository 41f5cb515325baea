//! How tests draw their random inputs: the same ones in every run, so that what passed passes again and no
//! run takes longer than another. The fuzzer (`fuzz/`) draws new ones for as long as one likes;
//! `PROPTEST_RNG_SEED=7 cargo test` draws others here.

use proptest::test_runner::{Config, RngSeed};

/// What the inputs are drawn from, if nobody says otherwise.
const SEED: u64 = 1870;
/// Steps by which an input that fails is made smaller. Each may take half a minute where it is a body.
const SHRINKS: u32 = 40;

/// So many inputs.
pub(crate) fn drawn(cases: u32) -> Config {
    let usual = Config::default();
    let rng_seed = match usual.rng_seed {
        RngSeed::Random => RngSeed::Fixed(SEED),
        asked => asked,
    };
    Config {
        cases,
        rng_seed,
        max_shrink_iters: SHRINKS,
        ..usual
    }
}
