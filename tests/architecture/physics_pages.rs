//! Every file of equations opens with its page, and the check it names exists.

use std::path::Path;

const HEADINGS: [&str; 6] = [
    "# Equation",
    "# Units",
    "# Source",
    "# Valid for",
    "# Left out",
    "# Checked by",
];

/// Files under `physics/` that hold no equation of their own.
const WITHOUT_EQUATION: [&str; 2] = ["sim/src/physics/mod.rs", "sim/src/physics/surface/tests.rs"];

#[test]
fn every_file_of_equations_opens_with_its_page() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut looked_at = 0;
    for path in super::files::rust_files() {
        let name = path
            .strip_prefix(root)
            .expect("inside")
            .to_string_lossy()
            .replace('\\', "/");
        if !name.starts_with("sim/src/physics/")
            || WITHOUT_EQUATION.contains(&name.as_str())
            || name.ends_with("tests.rs")
        {
            continue;
        }
        looked_at += 1;
        let text = std::fs::read_to_string(&path).expect("text");
        let page: Vec<&str> = text.lines().take_while(|line| line.starts_with("//!")).collect();
        for heading in HEADINGS {
            assert!(
                page.iter()
                    .any(|line| line.trim_start_matches("//!").trim() == heading),
                "{name} lacks `{heading}`"
            );
        }
        let checks = page.iter().skip_while(|line| !line.contains("# Checked by"));
        for word in checks.flat_map(|line| line.split(['`', ' ', ','])) {
            let file = word.split("::").next().unwrap_or_default();
            if file.starts_with("tests/") && file.ends_with(".rs") {
                assert!(
                    root.join(file).is_file(),
                    "{name} names {file}, which is not there"
                );
            }
        }
    }
    assert!(looked_at >= 12, "only {looked_at} files of equations found");
}
