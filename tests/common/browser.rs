//! A headless browser, where one is installed.

/// The first one on the path.
pub fn browser() -> Option<std::path::PathBuf> {
    let names = ["chromium", "chromium-browser", "google-chrome"];
    let path = std::env::var_os("PATH")?;
    std::env::split_paths(&path)
        .flat_map(|dir| names.map(|name| dir.join(name)))
        .find(|file| file.is_file())
}
