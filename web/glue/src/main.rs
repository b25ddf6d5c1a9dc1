//! Makes of the module that the compiler wrote the one that is loaded, with the JavaScript and the
//! TypeScript declarations beside it.
//!
//! `flamacue-web-glue MODULE FOLDER FORM`; the form is `web`, for pages and workers, or `nodejs`.
//! `flamacue-web-glue MODULE FILE packed` packs what was made, as it is sent.

mod dictionary;
mod foreign;
mod packed;
mod profiles;

use anyhow::{Context, Result, bail};
use std::env::args;
use std::path::Path;
use walrus::Module;
use wasm_bindgen_cli_support::Bindgen;

fn main() -> Result<()> {
    let words: Vec<String> = args().skip(1).collect();
    let [path, to, form] = words.as_slice() else {
        bail!("needs a module, a folder or file to write to, and `web`, `nodejs` or `packed`");
    };
    match form.as_str() {
        "web" => loadable(path, to, |bindgen| bindgen.web(true)),
        "nodejs" => loadable(path, to, |bindgen| bindgen.nodejs(true)),
        "packed" => {
            let bytes = std::fs::read(path).with_context(|| format!("can't read {path}"))?;
            std::fs::write(to, packed::pack(&bytes)?).with_context(|| format!("can't write {to}"))
        }
        other => bail!("there is no form `{other}`, only `web`, `nodejs` and `packed`"),
    }
}

/// Writes a module and what loads it to a folder.
fn loadable(
    path: &str,
    folder: &str,
    form: impl FnOnce(&mut Bindgen) -> Result<&mut Bindgen>,
) -> Result<()> {
    let mut module = Module::from_file(path).with_context(|| format!("can't read {path}"))?;
    foreign::take_out(&mut module);
    profiles::blank(&mut module);
    dictionary::blank(&mut module);
    let name = Path::new(path).file_stem().and_then(|stem| stem.to_str()).unwrap_or("module");
    let mut bindgen = Bindgen::new();
    bindgen.input_bytes(name, module.emit_wasm()).typescript(true);
    bindgen
        .remove_name_section(true)
        .remove_producers_section(true)
        .omit_default_module_path(false);
    form(&mut bindgen)?;
    bindgen.generate(folder).with_context(|| format!("{path} can't be made loadable"))
}
