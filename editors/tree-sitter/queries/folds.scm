[(header) (block) (code)] @fold
