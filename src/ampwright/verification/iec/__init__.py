"""The rules of IEC 60364 and of the codes built on it, a second time, on what a plan carries."""
