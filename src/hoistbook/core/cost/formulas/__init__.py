"""Physics that several process models share: one module per trade; arrays or plain numbers in, the same out."""
