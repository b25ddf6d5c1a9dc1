//! Copies the text faces the program sets words in out of the asset crate, so that no other
//! face of that crate reaches the binary.

use std::{env, fs, path::PathBuf};

/// File stem in the output folder, PostScript name in the asset crate.
const FACES: [(&str, &str); 3] = [
    ("serif-regular", "LibertinusSerif-Regular"),
    ("serif-bold", "LibertinusSerif-Bold"),
    ("serif-italic", "LibertinusSerif-Italic"),
];

fn main() -> Result<(), String> {
    println!("cargo:rerun-if-changed=build.rs");
    let out = PathBuf::from(env::var("OUT_DIR").map_err(|e| e.to_string())?);
    for (stem, name) in FACES {
        let data = typst_assets::fonts()
            .find(|data| post_script_name(data).as_deref() == Some(name))
            .ok_or_else(|| format!("the asset crate has no face named {name}"))?;
        fs::write(out.join(stem).with_extension("otf"), data).map_err(|e| e.to_string())?;
    }
    Ok(())
}

fn post_script_name(data: &[u8]) -> Option<String> {
    let face = ttf_parser::Face::parse(data, 0).ok()?;
    face.names()
        .into_iter()
        .find(|n| n.name_id == ttf_parser::name_id::POST_SCRIPT_NAME && n.is_unicode())?
        .to_string()
}
