package campaign_test

import (
	"context"
	"fmt"

	"coldstart/debug/campaign"
)

func ExampleRun() {
	square := func(_ context.Context, number int) (int, error) { return number * number, nil }
	err := campaign.Run(context.Background(), 4, 0, square, func(number, result int) error {
		fmt.Println(number, result)
		return nil
	})
	fmt.Println(err)
	// Output:
	// 0 0
	// 1 1
	// 2 4
	// 3 9
	// <nil>
}
