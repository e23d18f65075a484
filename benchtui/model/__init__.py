"""What things are: parcel, record, part, title, pressing, grade, money, span."""
