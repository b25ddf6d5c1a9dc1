//! The page, as it is loaded.

use crate::write::script::MOTION_MODULE;

/// A file of the page.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Asset {
    /// Its name, by which the others load it.
    pub name: &'static str,
    /// Its media type (RFC 6838).
    pub media: &'static str,
    /// What is in it.
    pub text: &'static str,
}

const HTML: &str = "text/html; charset=utf-8";
const CSS: &str = "text/css; charset=utf-8";
const SCRIPT: &str = "text/javascript; charset=utf-8";

macro_rules! asset {
    ($name:literal, $media:expr) => {
        Asset { name: $name, media: $media, text: include_str!(concat!("page/", $name)) }
    };
}

/// The files of the page. `desk.js` loads the one that holds the text as `host.js`: where the program serves
/// the page, that is `served.js`. Where no program does, it is `alone.js`, which `web/site` lays beside them.
pub const PAGE: &[Asset] = &[
    asset!("index.html", HTML),
    asset!("desk.css", CSS),
    asset!("desk.js", SCRIPT),
    asset!("divide.js", SCRIPT),
    asset!("download.js", SCRIPT),
    asset!("draft.js", SCRIPT),
    asset!("editor.js", SCRIPT),
    asset!("faults.js", SCRIPT),
    asset!("folder.css", CSS),
    asset!("folder.html", HTML),
    asset!("folder.js", SCRIPT),
    asset!("heights.js", SCRIPT),
    asset!("lines.js", SCRIPT),
    Asset { name: "motion.js", media: SCRIPT, text: MOTION_MODULE },
    asset!("offers.js", SCRIPT),
    asset!("pages.js", SCRIPT),
    asset!("player.js", SCRIPT),
    asset!("question.js", SCRIPT),
    asset!("served.js", SCRIPT),
];
