"""Assembly time: joints and parts to motions, motions to seconds, seconds to money."""
