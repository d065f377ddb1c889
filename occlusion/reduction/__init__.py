"""What a denture tooth may give: rules from marks, depths within budgets, the least plan."""
