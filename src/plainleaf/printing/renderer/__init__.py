"""The pinned renderer: what is laid out, what is mended in it, how the file is finished."""
