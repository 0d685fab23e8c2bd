"""Everything drawn or printed."""
