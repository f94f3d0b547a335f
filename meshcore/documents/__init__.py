"""What leaves for a customer: quotation, acknowledgement, labels and bill."""
