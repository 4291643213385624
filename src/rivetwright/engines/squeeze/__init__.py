"""Setting a squeezer up: gap, dies, pin and shims, head, force, air, first rivet."""
