//! Keeps in the linked program what its cutting into parts needs.

fn main() {
    println!("cargo::rerun-if-changed=build.rs");
    let is = |variable: &str, value: &str| std::env::var(variable).is_ok_and(|it| it == value);
    if is("CARGO_CFG_TARGET_FAMILY", "wasm") && is("PROFILE", "release") {
        // Which bytes are addresses: without it nothing can be moved elsewhere.
        println!("cargo::rustc-link-arg-bin=quaywright=--emit-relocs");
    }
}
