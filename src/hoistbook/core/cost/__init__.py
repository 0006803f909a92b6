"""What a part, its joints and its assembly cost in money and time: processes, fasteners, assembly, service."""
