"""The app on a phone with no network: the same pages and engine in the browser itself, built into a folder of files."""
