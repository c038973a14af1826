"""What leaves the yard: buyers and their orders, and loads of bales and loose metal to them."""
