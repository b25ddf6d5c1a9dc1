//! Systems and prose to pages.
