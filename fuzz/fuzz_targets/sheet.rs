#![no_main]

libfuzzer_sys::fuzz_target!(|data: &[u8]| layfigure_fuzz::sheet_text(data));
