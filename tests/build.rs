//! The folder that the tests find their files by is the project's, which lies around their own.

use std::path::Path;

fn main() {
    let own = std::env::var("CARGO_MANIFEST_DIR").expect("cargo sets it");
    let project = Path::new(&own).parent().expect("the tests lie in the project");
    println!("cargo::rustc-env=CARGO_MANIFEST_DIR={}", project.display());
    println!("cargo::rerun-if-changed=build.rs");
}
