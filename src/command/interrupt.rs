//! What happens when a run is interrupted: its temporary files go, and it ends as the signal asks.

/// Sees to it from now on that an interrupted run leaves no temporary file.
#[cfg(unix)]
pub fn watch() {
    use std::sync::Once;
    static WATCHED: Once = Once::new();
    WATCHED.call_once(|| {
        // Where signals can't be waited for, what is left is swept by a later run.
        if let Ok(signals) = signal_hook::iterator::Signals::new(SIGNALS) {
            let _ = std::thread::Builder::new().spawn(move || wait(signals));
        }
    });
}

#[cfg(not(unix))]
pub fn watch() {}

/// An interrupt from the keyboard, and the request to end.
#[cfg(unix)]
const SIGNALS: [i32; 2] = [signal_hook::consts::SIGINT, signal_hook::consts::SIGTERM];

/// Whether something would be lost that a person may want to keep.
#[cfg(unix)]
static ASK_FIRST: std::sync::atomic::AtomicBool = std::sync::atomic::AtomicBool::new(false);

/// Whether an interrupt from the keyboard is to be pressed twice, as something would be lost.
#[cfg(unix)]
pub fn ask_first(something_is_lost: bool) {
    ASK_FIRST.store(something_is_lost, std::sync::atomic::Ordering::SeqCst);
}

#[cfg(not(unix))]
pub fn ask_first(_: bool) {}

#[cfg(unix)]
fn wait(mut signals: signal_hook::iterator::Signals) {
    let asks = |signal| {
        let keyboard = signal == signal_hook::consts::SIGINT;
        keyboard && ASK_FIRST.swap(false, std::sync::atomic::Ordering::SeqCst)
    };
    for signal in signals.forever() {
        if asks(signal) {
            super::report::line(
                "the text on the desk is not saved: save it there, or press Ctrl+C again to lose it",
            );
            continue;
        }
        // It is held until the end, so that no new one is made and none is half in its place.
        let live = super::temporary::hold();
        for path in live.iter() {
            let _ = std::fs::remove_file(path);
        }
        let _ = signal_hook::low_level::emulate_default_handler(signal);
        // By the custom of shells.
        std::process::exit(128 + signal);
    }
}
