//! Flamacue for a web page: what a browser, or Node, calls.
//!
//! ```js
//! import init, { compile } from "./flamacue_web.js";
//! await init();
//! const made = compile("groove.flam", text, { "fills.flam": fills });
//! if (made.hasErrors) console.log(made.report());
//! else page.innerHTML = made.svg(0);
//! ```
//!
//! A [`Session`] is for a text that is being written: it is edited in place, and only what an edit
//! touches is typeset again.
//!
//! ```js
//! const session = new Session("groove.flam", text, { "fills.flam": fills });
//! session.update();
//! session.edit("groove.flam", 40, 41, "k");
//! for (const page of session.update().changed) show(page, session.svg(page));
//! ```
//!
//! A [`Desk`] answers a page on which a text is written, sees and hears it.
//!
//! What comes out is byte for byte what the command writes. Nothing is fetched: an included file is
//! a text the page hands over. A call runs to its end on the thread it is made on; a page that must
//! stay quick calls from a worker.

mod compilation;
mod desk;
mod faces;
mod fault;
mod files;
mod font_files;
mod forms;
mod memory_text;
mod offset;
mod session;

pub use compilation::{Compilation, compile};
pub use desk::Desk;
pub use files::Files;
pub use session::Session;
