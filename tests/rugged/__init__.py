"""The program under bad luck: killed, crowded out of disk, locked out, at the wrong time, in the wrong language."""
