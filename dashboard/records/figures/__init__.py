"""The breeder's own figures and genes, and the forecasts that were shown."""
