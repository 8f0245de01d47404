"""Every check of a bracket: what is demanded, what the part can take, by which rule."""
