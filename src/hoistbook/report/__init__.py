"""Results as people see them: sentences, figures with their bands, and drawn walks. Nothing is worked out here."""
