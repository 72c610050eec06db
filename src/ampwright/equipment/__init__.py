"""What a plan consists of: conductors, devices, capacitors, transformers, converters, circuits."""
