//! The dictionary of Brotli (RFC 7932, appendix A). A crate that the PDF writer's stands on carries it for web
//! fonts, which the library never opens; and what is packed here is packed without it.

use walrus::{DataId, Module};

/// How it begins, and its length.
const START: &[u8] = b"timedownlifeleftback";
const LENGTH: usize = 122_784;

/// Puts zeros in its place, which pack to nothing.
pub fn blank(module: &mut Module) {
    let all: Vec<DataId> = module.data.iter().map(|data| data.id()).collect();
    for data in all {
        let bytes = &mut module.data.get_mut(data).value;
        let start = bytes.windows(START.len()).position(|words| words == START);
        if let Some(dictionary) = start.and_then(|start| bytes.get_mut(start..start + LENGTH)) {
            dictionary.fill(0);
        }
    }
}
