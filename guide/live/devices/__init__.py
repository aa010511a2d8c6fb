"""Things to press that are not the terminal's: pedals and remotes read from the kernel, buttons on a Raspberry Pi."""
