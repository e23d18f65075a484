"""Sales seen, landed cost, margin scheme, consignment."""
