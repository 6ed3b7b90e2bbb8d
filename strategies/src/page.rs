//! The page a strategy's or guard's file opens with, in parts.

/// The page of the source file named, its own; empty without the feature `pages`: whoever explains nothing need not carry it.
macro_rules! own_page {
    ($file:literal) => {
        if cfg!(feature = "pages") {
            // A static stands in the program once, however often the constant is used that names it.
            static PAGE: [u8; include_bytes!($file).len()] = *include_bytes!($file);
            match std::str::from_utf8(&PAGE) {
                Ok(page) => page,
                Err(_) => panic!("a source file is UTF-8"),
            }
        } else {
            ""
        }
    };
}

/// One part of a page.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Part {
    /// Its heading: "Law".
    pub heading: &'static str,
    /// Its lines, without marks of the source; an empty one between paragraphs.
    pub lines: Vec<&'static str>,
}

/// The parts of the page on top of a source file, in order; what stands before the first heading is left out.
#[must_use]
pub fn parts(source: &'static str) -> Vec<Part> {
    let mut parts: Vec<Part> = Vec::new();
    let page = source.lines().map_while(|line| line.strip_prefix("//!"));
    for line in page.map(|line| line.strip_prefix(' ').unwrap_or(line)) {
        if let Some(heading) = line.strip_prefix("# ") {
            parts.push(Part {
                heading,
                lines: Vec::new(),
            });
        } else if let Some(part) = parts.last_mut()
            && !(line.is_empty() && part.lines.is_empty())
        {
            part.lines.push(line);
        }
    }
    for part in &mut parts {
        while part.lines.last().is_some_and(|line| line.is_empty()) {
            part.lines.pop();
        }
    }
    parts
}
