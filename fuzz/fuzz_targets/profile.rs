#![no_main]

libfuzzer_sys::fuzz_target!(|data: &[u8]| layfigure_fuzz::profile_text(data));
