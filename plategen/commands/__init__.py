"""The commands, one file each: read the words, call the core, print, set the exit status; nothing is computed here."""
