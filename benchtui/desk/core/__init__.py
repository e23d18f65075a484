"""What a desk is and holds; how commands and pages are declared; what stands in their way."""
