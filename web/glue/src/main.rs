//! Makes of the module that the compiler wrote the one that is loaded, with the JavaScript and the
//! TypeScript declarations beside it.
//!
//! `flamacue-web-glue MODULE FOLDER FORM`; the form is `web`, for pages and workers, or `nodejs`.

mod foreign;
mod profiles;

use anyhow::{Context, Result, bail};
use std::env::args;
use std::path::Path;
use walrus::Module;
use wasm_bindgen_cli_support::Bindgen;

fn main() -> Result<()> {
    let words: Vec<String> = args().skip(1).collect();
    let [path, folder, form] = words.as_slice() else {
        bail!("needs a module, a folder to write to, and `web` or `nodejs`");
    };
    let mut module = Module::from_file(path).with_context(|| format!("can't read {path}"))?;
    foreign::take_out(&mut module);
    profiles::blank(&mut module);
    let name = Path::new(path).file_stem().and_then(|stem| stem.to_str()).unwrap_or("module");
    let mut bindgen = Bindgen::new();
    bindgen.input_bytes(name, module.emit_wasm()).typescript(true);
    bindgen
        .remove_name_section(true)
        .remove_producers_section(true)
        .omit_default_module_path(false);
    match form.as_str() {
        "web" => bindgen.web(true)?,
        "nodejs" => bindgen.nodejs(true)?,
        other => bail!("there is no form `{other}`, only `web` and `nodejs`"),
    };
    bindgen.generate(folder).with_context(|| format!("{path} can't be made loadable"))
}
