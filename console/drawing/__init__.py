"""What panes draw with: lines, figures, marks, rows."""
