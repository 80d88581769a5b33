//! What really happened: entries and their line format. Bytes in, entries out; no disk.
