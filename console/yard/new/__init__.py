"""How a yard begins: questions, patterns, the demo yard."""
