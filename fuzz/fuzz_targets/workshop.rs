#![no_main]

libfuzzer_sys::fuzz_target!(|data: &[u8]| layfigure_fuzz::workshop_text(data));
