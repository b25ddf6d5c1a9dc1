//! Ink that was written before its page is known: a line of music for the one file it is for.

use std::any::Any;
use std::fmt;
use std::sync::Arc;

/// The ink of a line in the form of whoever wrote it; nobody else can read it.
#[derive(Clone)]
pub struct WrittenInk(Arc<dyn Any + Send + Sync>);

impl WrittenInk {
    /// Ink in some form.
    pub fn new(ink: impl Any + Send + Sync) -> Self {
        Self(Arc::new(ink))
    }

    /// The ink, where it has this form.
    pub fn read<T: Any>(&self) -> Option<&T> {
        self.0.downcast_ref()
    }
}

impl fmt::Debug for WrittenInk {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("WrittenInk").finish_non_exhaustive()
    }
}

/// The same, and not only an equal one.
impl PartialEq for WrittenInk {
    fn eq(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.0, &other.0)
    }
}
