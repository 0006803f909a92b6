"""Two vehicles set side by side: why they differ, cause by cause and decision by decision."""
