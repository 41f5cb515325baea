//! The door of the engine: functions that a browser calls by their names, and two that it lends.
//!
//! No memory changes hands. The engine keeps a request, an answer and the bytes beside it; a caller asks where they
//! are each time, for memory that grows moves. The functions are called from one worker, one after the other.
#![allow(
    unsafe_code,
    reason = "functions are found by their names, and lent ones are called on trust"
)]

use std::cell::RefCell;

use crate::engine::Engine;

/// What is kept between calls.
#[derive(Default)]
struct Desk {
    engine: Engine,
    request: Vec<u8>,
    answer: Vec<u8>,
    bytes: Vec<u8>,
}

thread_local! {
    static DESK: RefCell<Desk> = RefCell::default();
}

/// Makes room for a request of `length` bytes, and says where it is written.
#[unsafe(no_mangle)]
pub extern "C" fn layfigure_request(length: usize) -> *mut u8 {
    DESK.with_borrow_mut(|desk| {
        desk.request.clear();
        desk.request.resize(length, 0);
        desk.request.as_mut_ptr()
    })
}

/// Answers the request that was written; how many bytes the answer has.
#[unsafe(no_mangle)]
pub extern "C" fn layfigure_call() -> usize {
    lent::tell_when_it_fails();
    DESK.with_borrow_mut(|desk| {
        let request = std::mem::take(&mut desk.request);
        let reply = desk.engine.answer(&request, &mut lent::progress);
        desk.answer = reply.text().into_bytes();
        desk.bytes = reply.bytes;
        desk.answer.len()
    })
}

/// Where the answer stands.
#[unsafe(no_mangle)]
pub extern "C" fn layfigure_answer() -> *const u8 {
    DESK.with_borrow(|desk| desk.answer.as_ptr())
}

/// How many bytes there are beside the answer.
#[unsafe(no_mangle)]
pub extern "C" fn layfigure_bytes_length() -> usize {
    DESK.with_borrow(|desk| desk.bytes.len())
}

/// Where they stand.
#[unsafe(no_mangle)]
pub extern "C" fn layfigure_bytes() -> *const u8 {
    DESK.with_borrow(|desk| desk.bytes.as_ptr())
}

/// What the browser lends.
#[cfg(target_arch = "wasm32")]
mod lent {
    use std::sync::Once;

    #[link(wasm_import_module = "page")]
    unsafe extern "C" {
        #[link_name = "progress"]
        fn page_progress(permille: u32, words: *const u8, length: usize);
        #[link_name = "failed"]
        fn page_failed(words: *const u8, length: usize);
    }

    /// Says how far a long call has come.
    pub(super) fn progress(permille: u32, words: &str) {
        // SAFETY: the browser only reads `length` bytes from there before it returns.
        unsafe { page_progress(permille, words.as_ptr(), words.len()) }
    }

    /// Says why the engine stops for good; it has to be started anew then.
    pub(super) fn tell_when_it_fails() {
        static ONCE: Once = Once::new();
        ONCE.call_once(|| {
            std::panic::set_hook(Box::new(|info| {
                let words = info.to_string();
                // SAFETY: as above.
                unsafe { page_failed(words.as_ptr(), words.len()) }
            }));
        });
    }
}

/// Nobody listens outside a browser.
#[cfg(not(target_arch = "wasm32"))]
mod lent {
    pub(super) const fn progress(_: u32, _: &str) {}

    pub(super) const fn tell_when_it_fails() {}
}
