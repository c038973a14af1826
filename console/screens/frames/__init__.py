"""What screens are made of: questions, lists to pick from, pages."""
